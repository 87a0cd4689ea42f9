/** Files and entries that were refused, each with every reason. */
import { useApp, useNotebook } from '../app.ts';

/** More are folded away. */
const SHOWN = 6;

export function RefusedFiles() {
  const { notebook } = useApp();
  const refused = useNotebook((state) => state.refused);
  if (refused.length === 0) return null;
  return (
    <section className="refused" role="alert" aria-label="Refused files">
      <h2>{refused.length === 1 ? 'One file was refused' : `${refused.length} files were refused`}</h2>
      <p className="soft">Nothing of {refused.length === 1 ? 'it' : 'them'} was taken over.</p>
      <ul>
        {refused.map(({ name, problems }) => (
          <li key={`${name} ${problems[0]?.path} ${problems[0]?.say}`}>
            <h3>{name}</h3>
            <Problems problems={problems.slice(0, SHOWN)} />
            {problems.length > SHOWN && (
              <details>
                <summary>{problems.length - SHOWN} more</summary>
                <Problems problems={problems.slice(SHOWN)} />
              </details>
            )}
          </li>
        ))}
      </ul>
      <button type="button" className="bordered" onClick={() => notebook.dismissRefused()}>
        Put away
      </button>
    </section>
  );
}

function Problems({ problems }: { readonly problems: readonly { readonly path: string; readonly say: string }[] }) {
  return (
    <ul className="problems">
      {problems.map(({ path, say }) => (
        <li key={`${path} ${say}`}>
          {path && <code className="value">{path}</code>} {say}
        </li>
      ))}
    </ul>
  );
}
