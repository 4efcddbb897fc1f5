/** What can be set and read in Settings and help. */
import { makeStore } from '../../bridge/store.ts';

export const topics = [
  { id: 'look', name: 'Look and numbers' },
  { id: 'sound', name: 'Sound' },
  { id: 'operators', name: 'Operators' },
  { id: 'trimming', name: 'Trimming' },
  { id: 'database', name: 'Database' },
  { id: 'health', name: 'Health and logs' },
  { id: 'firstStart', name: 'First start' },
  { id: 'keyboard', name: 'Keyboard and scanner' },
  { id: 'words', name: 'Words and rules' },
] as const;
export type TopicId = (typeof topics)[number]['id'];

export const topicStore = makeStore<TopicId>('look');
