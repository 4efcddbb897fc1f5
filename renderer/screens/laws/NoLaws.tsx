import type { ReactElement } from 'react';

export function NoLaws({ isRead }: { readonly isRead: boolean }): ReactElement {
  if (!isRead) return <p className="law-empty soft">Reading the law library.</p>;
  return (
    <section className="law-empty">
      <p className="lead">There is no law yet, so nothing can be judged.</p>
      <ul className="soft">
        <li>A law says what loss in dB a fader must have at which travel, and how far it may be off.</li>
        <li>Take in a law file, written by hand or by another station. What is wrong in it is listed line by line.</li>
        <li>The form of the file is described in docs/laws.md.</li>
      </ul>
    </section>
  );
}
