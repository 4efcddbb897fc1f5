import './settings.css';
import type { ReactElement } from 'react';
import { useStore } from '../../bridge/store.ts';
import { DatabaseTopic } from './DatabaseTopic.tsx';
import { FirstStartTopic } from './FirstStartTopic.tsx';
import { HealthTopic } from './HealthTopic.tsx';
import { KeyboardTopic } from './KeyboardTopic.tsx';
import { LookTopic } from './LookTopic.tsx';
import { Meanings } from './Meanings.tsx';
import { OperatorsTopic } from './OperatorsTopic.tsx';
import { SoundTopic } from './SoundTopic.tsx';
import { TrimmingTopic } from './TrimmingTopic.tsx';
import { type TopicId, topicStore, topics } from './topics.ts';
import { WordsTopic } from './WordsTopic.tsx';

const pages: Readonly<Record<TopicId, () => ReactElement | null>> = {
  look: LookTopic,
  sound: SoundTopic,
  operators: OperatorsTopic,
  trimming: TrimmingTopic,
  database: DatabaseTopic,
  health: HealthTopic,
  firstStart: FirstStartTopic,
  keyboard: KeyboardTopic,
  words: WordsTopic,
};

/** Topics left, the chosen one in the middle, what the words mean and the cautions always on the right. */
export function SettingsScreen(): ReactElement {
  const topic = useStore(topicStore);
  const Page = pages[topic];
  return (
    <div className="settings">
      <nav className="topics" aria-label="Topics">
        {topics.map(({ id, name }) => (
          <button
            key={id}
            type="button"
            aria-current={id === topic ? 'true' : undefined}
            onClick={() => topicStore.set(id)}
          >
            {name}
          </button>
        ))}
      </nav>
      <section className="topic" aria-labelledby="topic-title">
        <h1 id="topic-title">{topics.find(({ id }) => id === topic)?.name}</h1>
        <Page />
      </section>
      <Meanings />
    </div>
  );
}
