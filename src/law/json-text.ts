import { type ObjectNode, parse, type StringNode, type ValueNode } from '@humanwhocodes/momoa';
import { refuseIfAny } from './file-text.ts';
import { type LawFileProblem, quoted } from './problems.ts';

/** Brackets inside brackets allowed; a law needs 3. Keeps the parser's own recursion harmless. */
const MAX_DEPTH = 8;

type Path = readonly (string | number)[];

/** JSON with the place of every value. */
export interface ReadJson {
  readonly value: unknown;
  /** Line of the value at a path; of the nearest enclosing value when it is missing. */
  readonly lineOf: (path: Path) => number;
  /** Repeated names and impossible numbers: what plain JSON reading would swallow. */
  readonly problems: readonly LawFileProblem[];
}

/**
 * Reads JSON strictly, keeping line numbers.
 *
 * @throws LawFileError when the text is no JSON or is nested too deeply
 */
export function readJson(text: string): ReadJson {
  const lineAt = lineFinder(text);
  const { fault, openBrackets } = scan(text);
  if (fault !== null) refuseIfAny([{ line: lineAt(fault.offset), message: fault.message }]);
  const root = parsed(text, lineAt, openBrackets);
  const problems: LawFileProblem[] = [];
  const lines = new Map<string, number>();
  const value = read(root, []);
  return { value, problems, lineOf };

  function lineOf(path: Path): number {
    for (let length = path.length; length > 0; length -= 1) {
      const line = lines.get(JSON.stringify(path.slice(0, length)));
      if (line !== undefined) return line;
    }
    return lines.get('[]') ?? 1;
  }

  function read(node: ValueNode, path: Path): unknown {
    const line = lineAt(node.loc.start.offset);
    lines.set(JSON.stringify(path), line);
    switch (node.type) {
      case 'Object':
        return objectOf(node, path);
      case 'Array':
        return node.elements.map((element, index) => read(element.value, [...path, index]));
      case 'Number':
        if (Number.isFinite(node.value)) return node.value;
        problems.push({ line, message: 'The number is too large. Correct it.' });
        return node.value;
      case 'String':
        checkText(node, line);
        return node.value;
      case 'Boolean':
        return node.value;
      default:
        return null;
    }
  }

  /** The parser is lenient here: JSON allows no raw tab inside quotes. */
  function checkText(node: StringNode, line: number): void {
    if (text.slice(node.loc.start.offset, node.loc.end.offset).includes('\t')) {
      problems.push({ line, message: 'A text between quotes contains a tab. Write a space.' });
    }
  }

  function objectOf(node: ObjectNode, path: Path): unknown {
    // No prototype: a name such as __proto__ is then a plain, unknown field and is refused like any other.
    const object: Record<string, unknown> = Object.create(null);
    for (const member of node.members) {
      const name = member.name.type === 'String' ? member.name.value : member.name.name;
      const line = lineAt(member.name.loc.start.offset);
      if (member.name.type === 'String') checkText(member.name, line);
      if (Object.hasOwn(object, name)) {
        problems.push({ line, message: `The field ${quoted(name)} stands twice in the same object. Remove one.` });
        continue;
      }
      object[name] = read(member.value, [...path, name]);
      lines.set(JSON.stringify([...path, name]), line);
    }
    return object;
  }
}

function parsed(text: string, lineAt: (offset: number) => number, openBrackets: number): ValueNode {
  try {
    return parse(text, { mode: 'json' }).body;
  } catch (error) {
    const offset = error instanceof Error && 'offset' in error && typeof error.offset === 'number' ? error.offset : 0;
    const rest = text.slice(offset);
    if (rest === '' || (openBrackets > 0 && rest.slice(1).trim() === '')) {
      refuseIfAny([
        { line: lineAt(text.length), message: 'The text ends too early: a bracket is left open. Is the file cut off?' },
      ]);
    }
    const unexpected = /^[\w.+-]{1,20}/.exec(rest)?.[0] ?? String.fromCodePoint(rest.codePointAt(0) ?? 0);
    const what = `unexpected ${quoted(unexpected)}`;
    refuseIfAny([
      {
        line: lineAt(offset),
        message: `This is not JSON: ${what}. Check commas, quotes and brackets here and in the line before; numbers are plain decimals.`,
      },
    ]);
    throw error;
  }
}

/** What can be seen without a parser: brackets nested too deeply, quotes left open, brackets left open. */
interface Scan {
  readonly fault: { readonly offset: number; readonly message: string } | null;
  readonly openBrackets: number;
}

function scan(text: string): Scan {
  let openBrackets = 0;
  let quoteOffset: number | null = null;
  const faultAt = (offset: number, message: string): Scan => ({ fault: { offset, message }, openBrackets });
  for (let offset = 0; offset < text.length; offset += 1) {
    const character = text[offset];
    if (quoteOffset !== null) {
      if (character === '\n') break;
      if (character === '\\') offset += 1;
      else if (character === '"') quoteOffset = null;
    } else if (character === '"') {
      quoteOffset = offset;
    } else if (character === '{' || character === '[') {
      openBrackets += 1;
      if (openBrackets > MAX_DEPTH) {
        return faultAt(offset, `Brackets are nested more than ${MAX_DEPTH} deep; no law is. Is it the right file?`);
      }
    } else if (character === '}' || character === ']') {
      openBrackets -= 1;
    }
  }
  if (quoteOffset !== null) {
    return faultAt(quoteOffset, 'A quote is opened and not closed on its line. Close it, or remove one too many.');
  }
  return { fault: null, openBrackets };
}

/** Line of an offset, by halving a table of line feeds: a long file must not cost its length for every value. */
function lineFinder(text: string): (offset: number) => number {
  const feeds: number[] = [];
  for (let at = text.indexOf('\n'); at !== -1; at = text.indexOf('\n', at + 1)) feeds.push(at);
  return (offset) => {
    let low = 0;
    let high = feeds.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((feeds[middle] ?? offset) < offset) low = middle + 1;
      else high = middle;
    }
    return low + 1;
  };
}
