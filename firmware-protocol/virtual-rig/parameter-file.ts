import { readFileSync } from 'node:fs';
import { defaultParameters } from './parameters.ts';
import { parametersSchema, type RigParameters } from './parameters-schema.ts';

/** A parameter file is not what it should be. */
export class ParameterFileError extends Error {
  override readonly name = 'ParameterFileError';
  readonly code = 'parameterFile';
  readonly userFixable = true;
}

/**
 * Reads a replacement: any subset of the sections and of their numbers, the rest keeps its default.
 * @throws ParameterFileError naming the entry at fault
 */
export function parametersFrom(text: string, source: string): RigParameters {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (error) {
    throw new ParameterFileError(`${source} is not JSON: ${String(error)}. Mend the file or leave it out.`, {
      cause: error,
    });
  }
  const checked = parametersSchema.safeParse(merge(defaultParameters, raw));
  if (checked.success) return checked.data;
  const faultsFound = checked.error.issues.map((i) => `${i.path.join('.') || 'file'}: ${i.message}`).join('; ');
  throw new ParameterFileError(`${source} cannot be used. ${faultsFound}. Compare it with docs/virtual-rig.md.`);
}

/** Reads a parameter file from disk. @throws ParameterFileError, also when the file cannot be read */
export function readParameterFile(path: string): RigParameters {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw new ParameterFileError(`${path} cannot be read: ${String(error)}. Check the name.`, { cause: error });
  }
  return parametersFrom(text, path);
}

function isPlain(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function merge(base: unknown, over: unknown): unknown {
  if (!isPlain(base) || !isPlain(over)) return over;
  const merged: Record<string, unknown> = { ...base };
  for (const [key, value] of Object.entries(over)) merged[key] = key in base ? merge(base[key], value) : value;
  return merged;
}
