import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    projects: [
      { extends: true, test: { name: 'rooms', include: ['test/**/*.test.ts'], exclude: ['test/desktop/**'] } },
      // Only these need a window; what they share is made once, and only when one of them runs.
      {
        extends: true,
        test: {
          name: 'desktop',
          include: ['test/desktop/**/*.test.ts'],
          globalSetup: ['test/desktop/global-setup.ts'],
        },
      },
    ],
    // The real-time rig tests measure motion against the rig clock: more workers than cores would only make them wait.
    maxWorkers: 2,
    testTimeout: 20_000,
    retry: 0,
  },
});
