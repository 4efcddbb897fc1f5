import './cautions.css';
import type { ReactElement } from 'react';
import { cautions } from './cautions.ts';

export function Cautions(): ReactElement {
  return (
    <dl className="cautions">
      {cautions.map(({ name, text }) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{text}</dd>
        </div>
      ))}
    </dl>
  );
}
