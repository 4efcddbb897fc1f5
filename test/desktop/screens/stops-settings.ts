/** Every topic of Settings and help. */
import { topics } from '../../../renderer/screens/settings/topics.ts';
import type { Stop } from './stop.ts';

export const settingsStops: readonly Stop[] = topics.map(({ id, name }) => ({
  name: `settings-${id}`,
  reach: async ({ page, open }) => {
    await open('Settings');
    await page.locator('.topics').getByRole('button', { name }).click();
    await page.locator('#topic-title').filter({ hasText: name }).waitFor();
    if (id === 'health') await page.locator('.findings li').first().waitFor();
  },
}));
