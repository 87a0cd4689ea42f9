/** While an ear is on: where, what there is to hear, and the way back. */
import { useApp, useEar } from '../app.ts';
import { Icon } from '../Icon.tsx';
import './ear.css';

export function EarNote() {
  const { ear } = useApp();
  const on = useEar((state) => state.at !== undefined);
  const name = useEar((state) => state.name);
  const say = useEar((state) => state.announcement?.say);
  return (
    <div className="ear-place">
      <div role="status" className={on ? 'ear-note' : 'unseen'}>
        {on && (
          <>
            <Icon name="ear" />
            <p>
              You hear: <strong>{name}</strong>
              {say && <span className="ear-says">{say}</span>}
            </p>
            <button type="button" className="bordered" title="Back to what the patch puts out (Escape)" onClick={() => ear.off()}>
              Back to the output
            </button>
          </>
        )}
      </div>
    </div>
  );
}
