import type { Law } from './build.ts';
import at60 from './examples/AT-60.json' with { type: 'json' };
import gf60 from './examples/GF-60.json' with { type: 'json' };
import pf104 from './examples/PF-104.json' with { type: 'json' };
import qs54 from './examples/QS-54.json' with { type: 'json' };
import { lawFromFileContent } from './json.ts';

const built: readonly Law[] = Object.freeze([pf104, gf60, at60, qs54].map(lawFromFileContent));

/** The laws shipped with the program, all our own: PF-104, GF-60, AT-60, QS-54, each revision 1. */
export function exampleLaws(): readonly Law[] {
  return built;
}

/**
 * A shipped law by its id, e.g. `PF-104`.
 *
 * @throws RangeError when no such law is shipped
 */
export function exampleLaw(id: string): Law {
  const law = built.find((candidate) => candidate.id === id);
  if (law === undefined) {
    throw new RangeError(`No law ${id} is shipped. There are: ${built.map((candidate) => candidate.id).join(', ')}.`);
  }
  return law;
}
