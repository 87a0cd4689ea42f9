/** The list of functions: searchable, by group. A click or Enter places one, a drag places it where it is let go. */
import { useId, useState } from 'react';
import type { BlockSpec } from '../../patch/blockSpec.ts';
import { useApp } from '../app.ts';
import { SymbolThumb } from '../SymbolDrawing.tsx';
import { findFunctions, groups } from './find.ts';
import { useFunctionDrag } from './useFunctionDrag.ts';

export function FunctionList() {
  const { specs } = useApp();
  const [typed, setTyped] = useState('');
  const found = findFunctions(specs, typed);
  const place = usePlace();
  const searching = typed.trim() !== '';
  return (
    <div className="functions">
      <input
        type="search"
        aria-label="Find a function"
        placeholder="Find a function"
        value={typed}
        autoComplete="off"
        spellCheck={false}
        onChange={(event) => setTyped(event.currentTarget.value)}
        onKeyDown={(event) => {
          const [best] = found;
          if (event.key === 'Enter' && best && searching) place(best.type);
          if (event.key === 'Escape') setTyped('');
        }}
      />
      {searching ? (
        <Group specs={found} heading={undefined} />
      ) : (
        groups.map(([group, heading]) => <Group key={group} heading={heading} specs={found.filter((spec) => spec.group === group)} />)
      )}
      <p className="unseen" role="status">
        {searching ? `${found.length} functions found` : ''}
      </p>
      {found.length === 0 && <p className="soft small">No function goes by that name.</p>}
    </div>
  );
}

function Group({ heading, specs }: { readonly heading: string | undefined; readonly specs: readonly BlockSpec[] }) {
  const id = useId();
  if (specs.length === 0) return null;
  return (
    <section aria-labelledby={heading && id} aria-label={heading ? undefined : 'Found'}>
      {heading && (
        <h2 id={id} className="soft small">
          {heading}
        </h2>
      )}
      <ul>
        {specs.map((spec) => (
          <li key={spec.type}>
            <Entry spec={spec} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Entry({ spec }: { readonly spec: BlockSpec }) {
  const { symbols } = useApp();
  const place = usePlace();
  const drag = useFunctionDrag(spec.type);
  return (
    <button
      type="button"
      className="functions-entry"
      title={spec.say}
      onClick={() => !drag.dragged() && place(spec.type)}
      {...drag.handlers}
    >
      <SymbolThumb symbol={symbols[spec.type]} />
      <span>{spec.title}</span>
    </button>
  );
}

/** Places a function; on a narrow screen the drawer makes way for it. */
function usePlace(): (type: string) => void {
  const { sketch, view } = useApp();
  return (type) => {
    sketch.current?.place(type);
    view.setState({ drawer: undefined });
  };
}
