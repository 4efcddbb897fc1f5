import { buildLaw, type Law } from './build.ts';
import { fileText, refuseIfAny } from './file-text.ts';
import { readJson } from './json-text.ts';
import { LawInvalidError, quoted } from './problems.ts';

/** What the `format` field of a law file says. */
export const LAW_FORMAT = 'faderwright-law';
/** Version of the law file format written, and the only one read. */
export const LAW_FORMAT_VERSION = 1;

/**
 * A whole law as a law file: one point and one mark a line, LF line ends, the same law always giving the same text.
 * `readLawJson` gives back exactly the same law.
 */
export function writeLawJson(law: Law): string {
  const built = buildLaw(law);
  const fields = Object.entries({ format: LAW_FORMAT, version: LAW_FORMAT_VERSION, ...built });
  return `{\n${fields.map(([key, value]) => `  ${JSON.stringify(key)}: ${written(value)}`).join(',\n')}\n}\n`;
}

function written(value: unknown): string {
  if (Array.isArray(value)) {
    return value.length === 0 ? '[]' : `[\n${value.map((row) => `    ${written(row)}`).join(',\n')}\n  ]`;
  }
  if (typeof value === 'object' && value !== null) {
    const fields = Object.entries(value).map(([key, inner]) => `${JSON.stringify(key)}: ${JSON.stringify(inner)}`);
    return fields.length === 0 ? '{}' : `{ ${fields.join(', ')} }`;
  }
  return JSON.stringify(value);
}

/**
 * Reads a law file.
 *
 * @param source bytes or text of the file
 * @throws LawFileError with every problem found and its line
 */
export function readLawJson(source: string | Uint8Array): Law {
  const text = fileText(source);
  const { value, lineOf, problems } = readJson(text);
  const found = [...problems];
  const envelope = envelopeProblem(value);
  if (envelope !== null) {
    found.push({ line: lineOf(envelope.path), message: envelope.message });
    // Another format or version: complaints about its fields would only mislead.
    refuseIfAny(found);
  }
  try {
    const law = buildLaw(withoutEnvelope(value));
    refuseIfAny(found);
    return law;
  } catch (error) {
    if (!(error instanceof LawInvalidError)) throw error;
    refuseIfAny([...found, ...error.problems.map((p) => ({ line: lineOf(p.path), message: p.message }))]);
    throw error;
  }
}

/**
 * A law from the already parsed content of a law file (a JSON module).
 *
 * @throws LawInvalidError with every problem found
 */
export function lawFromFileContent(content: unknown): Law {
  const envelope = envelopeProblem(content);
  if (envelope !== null) {
    throw new LawInvalidError('The law file', [
      { row: null, field: envelope.path.join('.'), message: envelope.message, path: envelope.path },
    ]);
  }
  return buildLaw(withoutEnvelope(content));
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function withoutEnvelope(value: unknown): unknown {
  if (!isObject(value)) return value;
  const { format: _format, version: _version, ...law } = value;
  return law;
}

function envelopeProblem(value: unknown): { path: readonly string[]; message: string } | null {
  if (!isObject(value)) {
    return { path: [], message: 'The file does not hold one JSON object. A law file begins with "{".' };
  }
  const { format, version } = value;
  if (format !== LAW_FORMAT) {
    const shown =
      typeof format === 'string' ? `The format is ${quoted(format)}` : 'The field "format" is missing or no text';
    return { path: ['format'], message: `${shown}. A law file has "format": "${LAW_FORMAT}". Is it the right file?` };
  }
  if (version === LAW_FORMAT_VERSION) return null;
  const isNewer = typeof version === 'number' && version > LAW_FORMAT_VERSION;
  return {
    path: ['version'],
    message: isNewer
      ? `The file has format version ${version}; this program reads version ${LAW_FORMAT_VERSION}. Use a newer program or save as version ${LAW_FORMAT_VERSION}.`
      : `The field "version" is missing or wrong. Write "version": ${LAW_FORMAT_VERSION}.`,
  };
}
