import { LawFileError, type LawFileProblem, quoted } from './problems.ts';

/** Largest law file read, bytes (or UTF-16 units of a text): far above any real law. */
export const MAX_FILE_SIZE = 1_000_000;
/** Problems listed at most; a file with more is the wrong file. */
const MAX_LISTED = 200;

/** Throws the problems, if there are any. */
export function refuseIfAny(problems: readonly LawFileProblem[]): void {
  if (problems.length === 0) return;
  const ordered = [...problems].sort((a, b) => (a.line ?? 0) - (b.line ?? 0));
  const listed: LawFileProblem[] = ordered.slice(0, MAX_LISTED);
  const rest = ordered.length - listed.length;
  if (rest > 0) {
    const line = listed.at(-1)?.line ?? null;
    listed.push({ line, message: `${rest} more problems follow and are not listed. Is it the right file?` });
  }
  throw new LawFileError(listed);
}

/**
 * The text of a law file: UTF-8 with or without a byte order mark, lines ended by LF or CRLF.
 *
 * @param source bytes of the file, or its text when somebody else decoded it
 * @throws LawFileError with line numbers for anything that is not plain text of a sane size
 */
export function fileText(source: string | Uint8Array): string {
  if (source.length > MAX_FILE_SIZE) {
    refuseIfAny([
      {
        line: null,
        message: `The file has more than ${MAX_FILE_SIZE} bytes; no law is that long. Is it the right file?`,
      },
    ]);
  }
  const marked = typeof source === 'string' ? source : decoded(source);
  const text = marked.startsWith('\uFEFF') ? marked.slice(1) : marked;
  refuseIfAny(characterProblems(text));
  if (text.trim() === '') refuseIfAny([{ line: null, message: 'The file is empty. Is it the right file?' }]);
  return text;
}

/** Lines without their ends; the line number is the index plus 1. */
export function linesOf(text: string): readonly string[] {
  return text.split('\n').map((line) => (line.endsWith('\r') ? line.slice(0, -1) : line));
}

function decoded(bytes: Uint8Array): string {
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) {
    refuseIfAny([{ line: 1, message: 'The file is written in UTF-16. Save it again as UTF-8.' }]);
  }
  const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
  try {
    return decoder.decode(bytes);
  } catch (error) {
    // Line by line to name the place: a line feed is never part of a longer UTF-8 sequence.
    let line = 1;
    let start = 0;
    const problems: LawFileProblem[] = [];
    while (start <= bytes.length) {
      const found = bytes.indexOf(0x0a, start);
      const end = found === -1 ? bytes.length : found;
      try {
        decoder.decode(bytes.subarray(start, end));
      } catch {
        problems.push({ line, message: 'The line is not UTF-8 text. Save the file again as UTF-8.' });
      }
      start = end + 1;
      line += 1;
    }
    refuseIfAny(problems);
    throw error;
  }
}

function characterProblems(text: string): LawFileProblem[] {
  const problems: LawFileProblem[] = [];
  linesOf(text).forEach((content, index) => {
    const line = index + 1;
    if (content.includes('\0')) {
      problems.push({ line, message: 'The line contains a NUL byte: this is binary data, not a law file.' });
    } else if (content.includes('\r')) {
      problems.push({ line, message: 'The line is ended by a bare carriage return. Save with LF or CRLF line ends.' });
    } else if (content.includes('\uFEFF')) {
      problems.push({ line, message: 'A byte order mark stands inside the text. Two files run together? Remove it.' });
    } else if (content.includes('\uFFFD') || !content.isWellFormed()) {
      problems.push({ line, message: 'The line contains damaged characters. Save the file again as UTF-8.' });
    } else {
      const control = /[\p{Cc}--\t]/v.exec(content);
      if (control !== null) {
        const code = content.codePointAt(control.index)?.toString(16).toUpperCase().padStart(4, '0');
        problems.push({ line, message: `The line contains the control character U+${code}. Remove it.` });
      }
    }
  });
  return problems;
}

/** A number as law files write it: decimal point, no thousands mark, optional exponent. */
const NUMBER = /^[+-]?\d+(\.\d+)?([eE][+-]?\d{1,4})?$/;

/**
 * Reads a number of a law file, or says why it is none.
 *
 * @returns the number, or the fault with what to do about it
 */
export function readNumber(text: string): number | string {
  if (NUMBER.test(text)) {
    const value = Number(text);
    return Number.isFinite(value) ? value + 0 : `${quoted(text)} is too large for a number. Correct it.`;
  }
  if (/^[+-]?\d+,\d+$/.test(text)) {
    return `${quoted(text)} has a decimal comma. Write a decimal point: ${text.replace(',', '.')}.`;
  }
  if (/^[\u2010-\u2015\u2212]/.test(text)) {
    return `${quoted(text)} begins with a typographic minus. Type a plain "-".`;
  }
  return `${quoted(text)} is not a number. Write it in plain decimals, e.g. 12.5.`;
}
