/** Writes vectors.json and the tables of SPEC.md: `npx node firmware-protocol/generate/main.ts`. */
import { readFileSync, writeFileSync } from 'node:fs';
import { withTables } from './tables.ts';
import { vectorsText } from './vectors.ts';

const specFile = new URL('../SPEC.md', import.meta.url);
writeFileSync(new URL('../vectors.json', import.meta.url), vectorsText());
writeFileSync(specFile, withTables(readFileSync(specFile, 'utf8')));
