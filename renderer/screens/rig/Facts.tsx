import type { ReactElement } from 'react';
import type { Fact } from './words.ts';

export function Facts({ title, facts }: { readonly title: string; readonly facts: readonly Fact[] }): ReactElement {
  return (
    <section className="facts" aria-label={title}>
      <h2 className="engraved">{title}</h2>
      <dl>
        {facts.map(({ name, value }) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}
