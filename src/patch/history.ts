/**
 * Undo and redo over an immutable document. A history is a value: each function returns the next one.
 * It stores changes, never copies of the patch, and knows nothing of selection or camera.
 * Between `begin` and `commit` a gesture (a drag, a slider) collects as many changes as it likes into one step.
 */
import type { Change } from './change.ts';
import { applyChange, composeChanges, invertChange, isEmptyChange } from './change.ts';
import type { Patch } from './document.ts';

export interface History {
  readonly patch: Patch;
  /** Oldest first. */
  readonly past: readonly Change[];
  /** Next redo last. */
  readonly future: readonly Change[];
  /** What the gesture under way has done so far. */
  readonly gesture?: Change;
}

export function createHistory(patch: Patch): History {
  return { patch, past: [], future: [] };
}

/** Applies a change as one undo step; clears redo. A change that changes nothing is no step. A gesture under way is committed first. */
export function record(history: History, change: Change): History {
  const { patch, past } = commit(history);
  if (isEmptyChange(change)) return commit(history);
  return { patch: applyChange(patch, change), past: [...past, change], future: [] };
}

/** Takes the last step back; without one, the history as it is. A gesture under way is committed first, so that it is what gets undone. */
export function undo(history: History): History {
  const { patch, past, future } = commit(history);
  const change = past.at(-1);
  if (!change) return history;
  return { patch: applyChange(patch, invertChange(change)), past: past.slice(0, -1), future: [...future, change] };
}

/** Does the last undone step again. */
export function redo(history: History): History {
  const { patch, past, future } = commit(history);
  const change = future.at(-1);
  if (!change) return history;
  return { patch: applyChange(patch, change), past: [...past, change], future: future.slice(0, -1) };
}

/** Opens a gesture; `label` names the undo step. A gesture still open is committed. */
export function begin(history: History, label: string): History {
  return { ...commit(history), gesture: { label } };
}

/** Applies one more change of the gesture. Throws an Error if none is open. */
export function extend(history: History, change: Change): History {
  if (!history.gesture) throw new Error('There is no gesture to extend: call begin first.');
  return { ...history, patch: applyChange(history.patch, change), gesture: composeChanges(history.gesture, change) };
}

/** Closes the gesture as one undo step; no step if in the end it changed nothing. */
export function commit(history: History): History {
  const { gesture, ...rest } = history;
  if (!gesture) return history;
  return isEmptyChange(gesture) ? rest : { ...rest, past: [...rest.past, gesture], future: [] };
}

/** Closes the gesture and puts the document back as it was at `begin`; redo survives. */
export function cancel(history: History): History {
  const { gesture, ...rest } = history;
  return gesture ? { ...rest, patch: applyChange(rest.patch, invertChange(gesture)) } : history;
}

/** What undo would take back: "Move 3 blocks"; undefined if nothing. */
export function undoLabel(history: History): string | undefined {
  return (history.gesture && !isEmptyChange(history.gesture) ? history.gesture : history.past.at(-1))?.label;
}

/** What redo would do again. */
export function redoLabel(history: History): string | undefined {
  return history.future.at(-1)?.label;
}

/** Ids of blocks that any step still names: new blocks avoid them, as an id stands for one block for good. */
export function idsInHistory(history: History): ReadonlySet<string> {
  const steps = [...history.past, ...history.future, ...(history.gesture ? [history.gesture] : [])];
  const placed = steps.flatMap(({ blocks }) => (blocks ? [...blocks.added, ...blocks.removed] : []));
  return new Set(placed.map(([, block]) => block.id));
}
