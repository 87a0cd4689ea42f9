/** What the checks find in the open patch, following its edits in idle moments, and pinned to its blocks. */
import { createStore, type StoreApi } from 'zustand/vanilla';
import { ruleOf } from '../../insight/checks/index.ts';
import type { Finding, Severity } from '../../insight/finding.ts';
import { findings, worstFirst } from '../../insight/findings.ts';
import { whySilent } from '../../insight/silence.ts';
import type { Silenced } from '../../notebook/record.ts';
import type { Catalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import { sameData } from '../../patch/sameData.ts';
import type { Mark, MarksStore } from '../store/marks.ts';
import type { Session } from '../store/session.ts';
import type { SilenceStore } from './silence.ts';
import type { TakeChecks } from './takeChecks.ts';

/** Edits follow each other within this time while something is dragged. */
const DEBOUNCE_MS = 150;

export interface ChecksState {
  /** Worst first, without what is silenced. */
  readonly findings: readonly Finding[];
  readonly silenced: readonly SilencedFinding[];
  /** Why nothing is heard: what to mend first. */
  readonly silence: Finding | undefined;
}

/** A finding that somebody has silenced in this patch. */
export interface SilencedFinding {
  readonly finding: Finding;
  readonly note: string;
}

export type Checks = StoreApi<ChecksState>;

export interface ChecksParts {
  readonly session: Session;
  readonly catalogue: Catalogue;
  readonly marks: MarksStore;
  /** Sound files (by sha256) that the patch names and this browser does not have. */
  readonly missing?: { readonly names: () => ReadonlySet<string>; readonly onChange: (listener: () => void) => void };
  /** Why the take is silent, once that is known. */
  readonly heard?: SilenceStore;
  /** What is found in the take, as far as that is known. */
  readonly take?: TakeChecks;
  /** What is silenced in the open patch. */
  readonly silenced?: { readonly list: () => readonly Silenced[]; readonly onChange: (listener: () => void) => void };
  /** Runs something when the page has nothing else to do. Returns the way to call it off. */
  readonly whenIdle: (work: () => void) => () => void;
}

export function createChecks({ session, catalogue, marks, missing, heard, take, silenced, whenIdle }: ChecksParts): Checks {
  const store = createStore<ChecksState>()(() => ({ findings: [], silenced: [], silence: undefined }));
  let timer: ReturnType<typeof setTimeout> | undefined;
  let callOff: (() => void) | undefined;

  const put = (next: ChecksState): void => {
    if (!sameData(next, store.getState())) store.setState(next);
    const before = marks.getState().marks;
    const after = marksOf(next.findings, before);
    if (!sameMarks(before, after)) marks.setState({ marks: after });
  };
  const check = (): void => {
    callOff = undefined;
    const { patch } = session.getState();
    const reasons = heard?.getState().answer?.findings ?? [];
    // why the take is silent says more than that it is
    const ofTake = (take?.getState().findings ?? []).filter(({ id }) => id !== 'silent-take' || reasons.length === 0);
    const all = worstFirst([...reasons, ...findings(patch, catalogue, missing?.names()), ...ofTake]);
    put({ ...withoutSilenced(all, silenced?.list() ?? []), silence: whySilent(patch, catalogue)[0] });
  };
  /** At once, not when the page is idle: the take is that of an older patch. */
  const dropTake = (): void => {
    const { findings: found, silenced: quiet, silence } = store.getState();
    put({ findings: found.filter(isDrawn), silenced: quiet.filter(({ finding }) => isDrawn(finding)), silence });
  };
  const plan = (ms: number): void => {
    clearTimeout(timer);
    callOff?.();
    timer = setTimeout(() => {
      callOff = whenIdle(check);
    }, ms);
  };

  session.subscribe((now, before) => {
    if (now.opened.count !== before.opened.count) plan(0);
    else if (matters(now.patch, before.patch)) plan(DEBOUNCE_MS);
  });
  missing?.onChange(() => plan(DEBOUNCE_MS));
  take?.subscribe((now, before) => {
    if (now.findings === before.findings) return;
    if (!now.findings) dropTake();
    plan(0);
  });
  silenced?.onChange(() => plan(0));
  heard?.subscribe((now, before) => now.answer !== before.answer && plan(0));
  plan(0);
  return store;
}

function isDrawn({ id }: Finding): boolean {
  return ruleOf(id)?.kind !== 'take';
}

function withoutSilenced(all: readonly Finding[], list: readonly Silenced[]): Pick<ChecksState, 'findings' | 'silenced'> {
  const noteOf = new Map(list.map(({ rule, block, note }) => [`${rule} ${block ?? ''}`, note ?? '']));
  const sorted = all.map((finding) => ({ finding, note: noteOf.get(`${finding.id} ${finding.block ?? ''}`) }));
  return {
    findings: sorted.flatMap(({ finding, note }) => (note === undefined ? [finding] : [])),
    silenced: sorted.flatMap(({ finding, note }) => (note === undefined ? [] : [{ finding, note }])),
  };
}

/** Could the checks find something else? Texts of the patch do not count. */
function matters(a: Patch, b: Patch): boolean {
  return (
    a.blocks !== b.blocks ||
    a.cables !== b.cables ||
    a.probes !== b.probes ||
    a.score !== b.score ||
    a.moves !== b.moves ||
    a.seconds !== b.seconds
  );
}

const words: Readonly<Record<Severity, Mark['severity']>> = { error: 'error', warning: 'warning', hint: 'note' };

/** Per block the worst finding. Marks that stay the same stay the same object. */
function marksOf(all: readonly Finding[], before: ReadonlyMap<string, Mark>): ReadonlyMap<string, Mark> {
  const marks = new Map<string, Mark>();
  for (const { block, severity, say } of all) {
    if (block === undefined || marks.has(block)) continue;
    const old = before.get(block);
    const mark: Mark = { severity: words[severity], say };
    marks.set(block, old && sameData(old, mark) ? old : mark);
  }
  return marks;
}

function sameMarks(a: ReadonlyMap<string, Mark>, b: ReadonlyMap<string, Mark>): boolean {
  return a.size === b.size && [...a].every(([id, mark]) => b.get(id) === mark);
}

/** `requestIdleCallback` where there is one; else a moment later. */
export function whenIdle(work: () => void): () => void {
  if (typeof requestIdleCallback === 'undefined') {
    const timer = setTimeout(work, 30);
    return () => clearTimeout(timer);
  }
  const handle = requestIdleCallback(work, { timeout: 1000 });
  return () => cancelIdleCallback(handle);
}
