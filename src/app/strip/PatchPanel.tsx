/** About the patch itself, while no block is selected: title, summary, notes, length and seed. */
import { setDetails } from '../../patch/commands/index.ts';
import { DEFAULT_SEED } from '../../patch/document.ts';
import { useApp, useSession } from '../app.ts';
import { Explain } from '../explain/Explain.tsx';
import { Findings } from '../findings/Findings.tsx';

export function PatchPanel() {
  const { session, catalogue } = useApp();
  const patch = useSession((state) => state.patch);
  const put = (field: 'title' | 'summary' | 'notes' | 'author' | 'seed', value: string | number): void => {
    session.run(setDetails(session.getState().patch, catalogue, { details: { [field]: value } }), { gesture: `patch.${field}` });
  };
  const done = (): void => session.commitGesture();
  return (
    <section className="strip" aria-label="About the patch">
      <Explain />
      <h2>About the patch</h2>
      <label className="field">
        <span>Title</span>
        <input value={patch.title ?? ''} maxLength={200} onChange={(event) => put('title', event.target.value)} onBlur={done} />
      </label>
      <label className="field">
        <span>Summary</span>
        <input value={patch.summary ?? ''} maxLength={300} onChange={(event) => put('summary', event.target.value)} onBlur={done} />
      </label>
      <label className="field">
        <span>Notes for the sheet (Markdown)</span>
        <textarea rows={7} value={patch.notes ?? ''} onChange={(event) => put('notes', event.target.value)} onBlur={done} />
      </label>
      <label className="field">
        <span>Author</span>
        <input value={patch.author ?? ''} maxLength={200} onChange={(event) => put('author', event.target.value)} onBlur={done} />
      </label>
      <label className="field field-line">
        <span title="All randomness of the patch comes from this number">Seed</span>
        <input
          className="value"
          type="number"
          step={1}
          min={0}
          max={4294967295}
          value={patch.seed ?? DEFAULT_SEED}
          onChange={(event) => {
            const seed = Math.round(Number(event.target.value));
            if (seed >= 0 && seed <= 4294967295) put('seed', seed);
          }}
          onBlur={done}
        />
      </label>
      <Findings />
    </section>
  );
}
