/** Which take is compared with which: an edit with the take before it, a gesture of many moves with the take before the gesture. */
import type { Change } from '../../patch/change.ts';
import type { Patch } from '../../patch/document.ts';
import { type History, undoLabel } from '../../patch/history.ts';
import type { SessionState } from '../store/session.ts';

/** What a take was rendered from. */
export interface TakeOrigin {
  readonly patch: Patch;
  /** The step before the one that led here; the same for all moves of a gesture. 'nothing': no step has been made. */
  readonly since: Change | 'first' | 'nothing';
  readonly opened: number;
}

/** A take of another document, of the same edit (or one that is not heard), or of the next edit. */
export type TakeStep = 'fresh' | 'same' | 'next';

function lastButOne(history: History): TakeOrigin['since'] {
  // A gesture that has not changed anything yet is no step.
  const moving = undoLabel({ ...history, past: [] }) !== undefined;
  const steps = history.past.length + (moving ? 1 : 0);
  return steps === 0 ? 'nothing' : (history.past[steps - 2] ?? 'first');
}

export function originOf({ patch, history, opened }: Pick<SessionState, 'patch' | 'history' | 'opened'>): TakeOrigin {
  return { patch, since: lastButOne(history), opened: opened.count };
}

export function stepBetween(before: TakeOrigin | undefined, now: TakeOrigin): TakeStep {
  if (!before || before.opened !== now.opened) return 'fresh';
  return before.since === now.since || !soundDiffers(before.patch, now.patch) ? 'same' : 'next';
}

/** Do two documents differ in what is heard? Texts, probes and places on the sketch do not count. */
export function soundDiffers(a: Patch, b: Patch): boolean {
  if (a === b) return false;
  if (
    a.cables !== b.cables ||
    a.seed !== b.seed ||
    a.seconds !== b.seconds ||
    a.score !== b.score ||
    a.recordings !== b.recordings ||
    a.moves !== b.moves
  )
    return true;
  if (a.blocks === b.blocks) return false;
  if (a.blocks.length !== b.blocks.length) return true;
  const old = new Map(b.blocks.map((block) => [block.id, block]));
  return a.blocks.some((block) => old.get(block.id)?.settings !== block.settings || old.get(block.id)?.type !== block.type);
}
