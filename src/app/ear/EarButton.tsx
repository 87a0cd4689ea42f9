/** Puts the ear on a point of the patch, or takes it off. */
import { type Place, samePlace } from '../../patch/document.ts';
import { useApp, useEar } from '../app.ts';
import { Icon } from '../Icon.tsx';
import './ear.css';

export function EarButton({ at, name }: { readonly at: Place; readonly name: string }) {
  const { ear } = useApp();
  const on = useEar((state) => state.at !== undefined && samePlace(state.at, at));
  return (
    <button
      type="button"
      className="ear-button"
      aria-pressed={on}
      aria-label={`Put the ear on ${name}`}
      title={on ? 'Back to what the patch puts out (Escape)' : 'Listen here instead of at the output'}
      onClick={() => ear.toggle(at)}
    >
      <Icon name="ear" />
    </button>
  );
}
