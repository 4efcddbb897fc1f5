import { migration0001 } from './0001-runs.ts';
import { migration0002 } from './0002-openings.ts';
import { migration0003 } from './0003-trimming.ts';
import type { Migration } from './migration.ts';

/** All migrations, oldest first. Add at the end; never change one that was shipped. */
export const migrations: readonly Migration[] = [migration0001, migration0002, migration0003];

/** The archive version this program writes. */
export const archiveVersion = migrations.length;
