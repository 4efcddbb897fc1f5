/** The pages for people keep up with the program: links lead somewhere, words and options exist and are all told. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import { rigCommandLine } from '../../firmware-protocol/virtual-rig/command-line.ts';
import { buildProgram } from '../../src/cli/program.ts';
import { checkout } from './run-words.ts';

const read = (path: string): string => readFileSync(join(checkout, path), 'utf8');
const folders = ['.', 'docs', 'docs/decisions', 'firmware-protocol'];
const pages = folders.flatMap((folder) =>
  readdirSync(join(checkout, folder))
    .filter((name) => name.endsWith('.md'))
    .map((name) => join(folder, name)),
);
const program = buildProgram(() => {}, false);
const scripts = (JSON.parse(read('package.json')) as { scripts: Record<string, string> }).scripts;

/** Every command with its words, e.g. `law check`. */
const commands: ReadonlyMap<string, Command> = new Map(
  program.commands.flatMap((command): [string, Command][] =>
    command.commands.length === 0
      ? [[command.name(), command]]
      : command.commands.map((one) => [`${command.name()} ${one.name()}`, one]),
  ),
);
const optionsOf = (command: Command): string[] => command.options.flatMap(({ long }) => long ?? []);
const globalOptions = optionsOf(program);

/** The command that a line begins with, after options of the whole program. */
function commandOf(line: string): [string, Command] | undefined {
  const rest = line.trim().replace(/^(--archive \S+ |--json )*/, '');
  return [...commands].find(([name]) => rest === name || rest.startsWith(`${name} `));
}

const anchor = (heading: string): string =>
  heading
    .toLowerCase()
    .replace(/[^\p{L}\p{N}\s_-]/gu, '')
    .trim()
    .replace(/\s/g, '-');

describe.each(pages)('%s', (page) => {
  const text = read(page);

  it('has no link that leads nowhere', () => {
    const links = [...text.matchAll(/\]\(([^)\s]+)\)/g)].map((match) => match[1] ?? '');
    const dead = links.filter((link) => {
      if (/^https?:/.test(link)) return false;
      const [path = '', heading] = link.split('#');
      const target = path === '' ? join(checkout, page) : join(checkout, dirname(page), path);
      if (!existsSync(target)) return true;
      if (heading === undefined) return false;
      const headings = [...readFileSync(target, 'utf8').matchAll(/^#+ (.+)$/gm)].map((match) => anchor(match[1] ?? ''));
      return !headings.includes(heading);
    });
    expect(dead).toEqual([]);
  });

  it('names only commands that there are', () => {
    const named = [...text.matchAll(/npm run ([\w-]+)/g)].map((match) => match[1] ?? '');
    expect(named.filter((name) => scripts[name] === undefined)).toEqual([]);

    const lines = [...text.matchAll(/(?:npm run faderwright -- |npx faderwright )([^`\n]+)/g)].map((match) =>
      // Behind a wide gap stands what it does.
      (match[1] ?? '').split(/ {2,}/)[0]?.trim(),
    );
    for (const line of lines) {
      if (line === undefined || /^(WORD|--help)/.test(line)) continue;
      const [name, command] = commandOf(line) ?? [];
      expect(name, line).toBeDefined();
      const known = [...globalOptions, ...(command === undefined ? [] : optionsOf(command))];
      for (const [option] of line.matchAll(/--[a-z-]+/g)) expect(known, line).toContain(option);
    }

    const rigOptions = optionsOf(rigCommandLine());
    for (const [, line = ''] of text.matchAll(/npm run rig -- ([^`\n]+)/g)) {
      for (const [option] of line.matchAll(/--[a-z-]+/g)) expect(rigOptions, line).toContain(option);
    }
  });
});

it('demo and measure make the same virtual faders unless told otherwise, so that a serial gets one verdict', () => {
  const defaultOf = (name: string, option: string): unknown =>
    commands.get(name)?.options.find(({ long }) => long === option)?.defaultValue;
  for (const option of ['--seed', '--size', '--law', '--fault-share']) {
    expect(defaultOf('demo', option), option).toBeDefined();
    expect(defaultOf('measure', option), option).toBe(defaultOf('demo', option));
  }
  expect(rigCommandLine().options.find(({ long }) => long === '--seed')?.defaultValue).toBe(
    defaultOf('demo', '--seed'),
  );
});

describe('docs/command-line.md', () => {
  const text = read('docs/command-line.md');
  const rows = new Map(
    [...text.matchAll(/^\| `([^`]+)` \| (.+) \|$/gm)].flatMap((row): [string, string][] => {
      const name = commandOf(row[1] ?? '')?.[0];
      return name === undefined ? [] : [[name, row[2] ?? '']];
    }),
  );

  it('tells every word once', () => {
    expect([...rows.keys()].toSorted()).toEqual([...commands.keys()].toSorted());
  });

  it.each([...commands])('tells every option of %s', (name, command) => {
    // The options of `measure` have a table of their own.
    const place = name === 'measure' ? text : (rows.get(name) ?? '');
    expect(optionsOf(command).filter((option) => !place.includes(option))).toEqual([]);
  });

  it('names no option that there is not', () => {
    const known = new Set([...globalOptions, ...[...commands.values()].flatMap(optionsOf), '--help']);
    expect([...text.matchAll(/--[a-z][a-z-]+/g)].map(([option]) => option).filter((one) => !known.has(one))).toEqual(
      [],
    );
  });
});
