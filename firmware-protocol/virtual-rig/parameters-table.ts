import Table from 'cli-table3';
import { defaultParameters } from './parameters.ts';
import type { RigParameters } from './parameters-schema.ts';

/** The parameters as a text table, one line a number, for benchmarks; what differs from the default is marked `*`. */
export function parametersTable(parameters: RigParameters): string {
  const table = new Table({ head: ['section', 'number', 'value', ''], style: { head: [], border: [] } });
  const usual = new Map(entries(defaultParameters));
  for (const [path, value] of entries(parameters)) {
    const [section = '', ...rest] = path.split('.');
    table.push([section, rest.join('.'), value, usual.get(path) === value ? '' : '*']);
  }
  return table.toString();
}

function entries(value: unknown, path = ''): [string, string][] {
  if (typeof value !== 'object' || value === null) return [[path, String(value)]];
  if (Array.isArray(value)) return [[path, value.join(' .. ')]];
  return Object.entries(value).flatMap(([key, inner]) => entries(inner, path === '' ? key : `${path}.${key}`));
}
