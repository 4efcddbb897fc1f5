import { callShell } from '../bridge/calls.ts';

/** Writes the screen as a PDF where the person wants it. */
export async function printScreen(): Promise<void> {
  const place = await callShell('file.choosePath', {
    title: 'Write this screen as PDF',
    suggestedName: 'faderwright.pdf',
    filters: [{ name: 'PDF', extensions: ['pdf'] }],
  });
  if (place !== null) await callShell('print.pdf', place);
}
