/**
 * The open patch: the document with its history, what is selected, and what was last said to the person.
 * Commands are pure and return a Change or a Refusal; `run` takes either.
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Change } from '../../patch/change.ts';
import { emptyPatch, type Patch, placeName } from '../../patch/document.ts';
import * as edits from '../../patch/history.ts';
import { isRefusal, type Refusal } from '../../patch/refusal.ts';

export interface Selection {
  readonly blocks: ReadonlySet<string>;
  /** Name of the input that the selected cable ends in ("block.port"). */
  readonly cable?: string;
}

/** One sentence for eyes (a quiet note) and ears (a live region). */
export interface Said {
  readonly text: string;
  readonly kind: 'note' | 'refusal';
  /** Grows with each sentence, so that the same words said twice are heard twice. */
  readonly count: number;
}

export interface SessionState {
  readonly patch: Patch;
  readonly history: edits.History;
  /** Name of the gesture under way, e.g. "flt1.cutoff". */
  readonly gesture: string | undefined;
  readonly selection: Selection;
  readonly said: Said | undefined;
  /** Which document is open: grows with each `open`, and `id` is its id in the notebook. */
  readonly opened: { readonly count: number; readonly id: string | undefined };
}

export interface RunOptions {
  /**
   * Runs with the same gesture name are one undo step until `commitGesture`: a slider drag, arrow keys held down.
   * Another name, or a run without one, commits it first.
   */
  readonly gesture?: string;
}

export interface SessionActions {
  /** Applies a change as one undo step (or as part of the gesture under way), or says why not. True when applied. */
  run(outcome: Change | Refusal, options?: RunOptions): boolean;
  undo(): void;
  redo(): void;
  /** Everything run until `commitGesture`, whether it names a gesture or not, is one undo step called `label`. */
  beginGesture(name: string, label?: string): void;
  commitGesture(): void;
  /** Puts the document back as it was at `beginGesture`. */
  cancelGesture(): void;
  /** Another document: new history, nothing selected. */
  open(patch: Patch, id?: string): void;
  select(blocks: Iterable<string>): void;
  toggleSelected(block: string): void;
  selectAll(): void;
  selectCable(input: string): void;
  clearSelection(): void;
  say(text: string, kind?: Said['kind']): void;
  hush(): void;
}

export type Session = StoreApi<SessionState> & SessionActions;

const nothing: Selection = { blocks: new Set() };

export function createSession(patch: Patch = emptyPatch): Session {
  const store = createStore<SessionState>()(() => ({
    patch,
    history: edits.createHistory(patch),
    gesture: undefined,
    selection: nothing,
    said: undefined,
    opened: { count: 0, id: undefined },
  }));
  const { getState, setState } = store;

  /** The gesture was opened by `beginGesture`: all runs belong to it. */
  let explicit = false;

  const put = (history: edits.History, gesture?: string): void => {
    explicit = explicit && gesture !== undefined;
    const selection = history.patch === getState().patch ? getState().selection : kept(getState().selection, history.patch);
    setState({ history, patch: history.patch, gesture, selection });
  };

  const say = (text: string, kind: Said['kind'] = 'note'): void =>
    setState({ said: { text, kind, count: (getState().said?.count ?? 0) + 1 } });

  const step = (move: (history: edits.History) => edits.History, word: string, label: string | undefined): void => {
    if (!label) {
      say(`Nothing to ${word.toLowerCase()}.`);
      return;
    }
    put(move(getState().history));
    say(`${word}: ${label}`);
  };

  const actions: SessionActions = {
    run(outcome, { gesture } = {}) {
      if (isRefusal(outcome)) {
        say(outcome.say, 'refusal');
        return false;
      }
      if (explicit) {
        put(edits.extend(getState().history, outcome), getState().gesture);
      } else if (gesture) {
        const { history, gesture: open } = getState();
        put(edits.extend(open === gesture ? history : edits.begin(history, outcome.label), outcome), gesture);
      } else {
        put(edits.record(getState().history, outcome));
      }
      return true;
    },
    undo: () => step(edits.undo, 'Undo', edits.undoLabel(getState().history)),
    redo: () => step(edits.redo, 'Redo', edits.redoLabel(getState().history)),
    beginGesture(name, label = name) {
      put(edits.begin(getState().history, label), name);
      explicit = true;
    },
    commitGesture: () => put(edits.commit(getState().history)),
    cancelGesture: () => put(edits.cancel(getState().history)),
    open(next, id) {
      explicit = false;
      setState({
        patch: next,
        history: edits.createHistory(next),
        gesture: undefined,
        selection: nothing,
        opened: { count: getState().opened.count + 1, id },
      });
    },
    select(blocks) {
      const wanted = new Set(blocks);
      const { selection } = getState();
      if (!selection.cable && sameSet(selection.blocks, wanted)) return;
      setState({ selection: { blocks: wanted } });
    },
    toggleSelected(block) {
      const blocks = new Set(getState().selection.blocks);
      if (!blocks.delete(block)) blocks.add(block);
      setState({ selection: { blocks } });
    },
    selectAll: () => actions.select(getState().patch.blocks.map((block) => block.id)),
    selectCable: (cable) => setState({ selection: { blocks: new Set(), cable } }),
    clearSelection() {
      const { selection } = getState();
      if (selection.blocks.size > 0 || selection.cable) setState({ selection: nothing });
    },
    say,
    hush: () => setState({ said: undefined }),
  };
  return Object.assign(store, actions);
}

/** The selection without what the document no longer has. */
function kept(selection: Selection, patch: Patch): Selection {
  const ids = new Set(patch.blocks.map((block) => block.id));
  const blocks = [...selection.blocks].filter((id) => ids.has(id));
  const cable = selection.cable !== undefined && patch.cables.some((known) => placeName(known.to) === selection.cable);
  if (blocks.length === selection.blocks.size && cable === (selection.cable !== undefined)) return selection;
  return { blocks: new Set(blocks), ...(cable && { cable: selection.cable }) };
}

function sameSet(a: ReadonlySet<string>, b: ReadonlySet<string>): boolean {
  return a.size === b.size && [...a].every((entry) => b.has(entry));
}
