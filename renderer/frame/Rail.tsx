import type { ReactElement } from 'react';
import { type ScreenId, screens } from './screens.ts';

interface RailProps {
  readonly open: ScreenId;
  readonly onOpen: (screen: ScreenId) => void;
  readonly isVirtual: boolean;
  readonly operator: string | null;
}

/** Name, the five screens, the mark of a virtual rig, and who stands here. */
export function Rail({ open, onOpen, isVirtual, operator }: RailProps): ReactElement {
  return (
    <header className="rail">
      <span className="name">Faderwright</span>
      <nav aria-label="Screens">
        {screens.map(({ id, name }, index) => (
          <a
            key={id}
            href={`#${id}`}
            aria-current={id === open ? 'page' : undefined}
            onClick={(event) => {
              event.preventDefault();
              onOpen(id);
            }}
          >
            <i>{index + 1}</i> {name}
          </a>
        ))}
      </nav>
      <div className="aside">
        {isVirtual && (
          <strong className="tape">
            <span>Virtual rig</span>
          </strong>
        )}
        {operator !== null && <span className="operator">{operator}</span>}
      </div>
    </header>
  );
}
