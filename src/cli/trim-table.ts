/** A trimming batch as a table on the terminal. */
import Table from 'cli-table3';
import type { TrimBatch } from '../contract/trim.ts';

/** @param mark of a virtual rig, or nothing */
export function trimBatchTable({ pieces, sorts, ends, firstPassShare, gains }: TrimBatch, mark: string): string {
  const table = new Table({
    head: ['piece', 'sort', 'end', 'passes', 'cuts', 'film mm2', 'of limit before', 'of limit after'],
    style: { head: [], border: [] },
    colAligns: ['left', 'left', 'left', 'right', 'right', 'right', 'right', 'right'],
  });
  for (const piece of pieces) {
    table.push([
      piece.serial,
      piece.firstSort ?? '-',
      piece.state,
      piece.passes,
      piece.cuts,
      piece.removalMm2.toFixed(1),
      percent(piece.worstBeforeShare),
      percent(piece.worstAfterShare),
    ]);
  }
  const last = gains.at(-1);
  const lines = [
    `${ends.accepted} accepted, ${ends.hopeless} hopeless, ${ends.ended} ended, ${ends.open} open; sorted before the first cut: ${sorts.conforms} conform, ${sorts.trimmable} trimmable, ${sorts.hopeless} hopeless.${mark}`,
    ...(firstPassShare === null ? [] : [`Brought in by the first pass: ${Math.round(firstPassShare * 100)} %.`]),
    ...(last === undefined
      ? []
      : [`Gain of the tool: ${last.mean.toFixed(2)} +- ${(2 * last.sd).toFixed(2)} after ${gains.length} passes.`]),
  ];
  return `${table.toString()}\n${lines.join('\n')}`;
}

const percent = (share: number | null | undefined): string => (share == null ? '-' : `${Math.round(share * 100)} %`);
