import type { Scene } from './look.ts';

export const lawsScenes: readonly Scene[] = [];
