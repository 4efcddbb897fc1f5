/** The five screens, in the order of the rail, with their keys. */
export const screens = [
  { id: 'bench', name: 'Bench' },
  { id: 'faders', name: 'Faders' },
  { id: 'laws', name: 'Laws' },
  { id: 'rig', name: 'Rig' },
  { id: 'settings', name: 'Settings' },
] as const;
export type ScreenId = (typeof screens)[number]['id'];
