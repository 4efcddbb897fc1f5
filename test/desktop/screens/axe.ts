/** Runs the accessibility checker on the page as it stands; its text is handed over by the inspector, not loaded by the page. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

interface AxeNode {
  readonly target: readonly unknown[];
  readonly failureSummary?: string;
}
interface AxeViolation {
  readonly id: string;
  readonly impact?: string | null;
  readonly nodes: readonly AxeNode[];
}
interface Axe {
  run(context: Document, options: object): Promise<{ readonly violations: readonly AxeViolation[] }>;
}
declare global {
  interface Window {
    axe?: Axe;
  }
}

const source = readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** @returns a sentence for each element with a serious or critical violation */
export async function axeFaults(page: Page): Promise<string[]> {
  const isThere = await page.evaluate(() => window.axe !== undefined);
  if (!isThere) await page.evaluate(await source);
  const violations = await page.evaluate(async () => {
    const axe = window.axe;
    if (axe === undefined) throw new Error('The checker was not taken in.');
    return (await axe.run(document, { resultTypes: ['violations'] })).violations;
  });
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .flatMap(({ id, impact, nodes }) =>
      nodes.map((node) => `${impact} ${id}: ${node.target.join(' ')}\n  ${node.failureSummary ?? ''}`),
    );
}
