/** What can hurt at this bench, in the words used wherever a person starts to work. */
export const cautions: readonly { readonly name: string; readonly text: string }[] = [
  { name: 'Moving carriage', text: 'It pinches. Keep the guard closed and hands out.' },
  {
    name: 'Emergency stop',
    text: 'A hardware switch in reach that cuts motor power without any software. No key on this screen replaces it.',
  },
  {
    name: 'Dust and blades',
    text: 'Trimming makes conductive dust: eye and dust protection, extraction, no air blast.',
  },
  { name: 'Hot lamps', text: 'Cure lamps and fresh tracks burn. Let them cool before you reach in.' },
  { name: 'Who decides', text: 'Local codes and qualified persons. This program is not a safety device.' },
];
