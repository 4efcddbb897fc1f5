/** What can hurt at this bench, in the words used wherever a person starts to work. */
export const cautions: readonly { readonly name: string; readonly text: string }[] = [
  { name: 'Moving carriage', text: 'It can pinch. Keep the guard closed and your hands out while it moves.' },
  {
    name: 'Emergency stop',
    text: 'Have a hardware switch in reach that cuts motor power without any software. No key on this screen replaces it.',
  },
  {
    name: 'Dust and blades',
    text: 'Trimming makes conductive dust. Wear eye and dust protection, use extraction, never blow it off with air.',
  },
  { name: 'Hot lamps', text: 'Cure lamps and fresh tracks burn skin and paper. Let them cool before you reach in.' },
  {
    name: 'Who decides',
    text: 'Local codes and qualified persons decide what is safe. This program is not a safety device.',
  },
];
