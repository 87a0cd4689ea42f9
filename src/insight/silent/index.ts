/**
 * Why a take is silent. The reason that the figures of the take point at is mended on trial and rendered again: what then sounds was
 * the reason, and where it stays silent the next one is looked for.
 */
import { applyChange } from '../../patch/change.ts';
import { mend } from '../../patch/commands/mend.ts';
import type { Patch } from '../../patch/document.ts';
import { isRefusal } from '../../patch/refusal.ts';
import type { Finding } from '../finding.ts';
import type { Hearing } from '../heard.ts';
import { whySilent } from '../silence.ts';
import { levelOf, listen, type Scene, type SceneOptions, SILENT_DB } from './scene.ts';
import { traceSilence } from './trace.ts';

export { type SceneOptions as SilenceOptions, SILENT_DB } from './scene.ts';

export interface Silence {
  /** Nothing is heard, or next to nothing. */
  readonly silent: boolean;
  /** As SILENT_DB counts it; undefined for nothing at all. */
  readonly level: number | undefined;
  /** Length of the take, in seconds. */
  readonly seconds: number;
  /**
   * Why: what to mend first comes first. Errors, but for what only a take lacks, which are hints; those
   * that can be mended by an edit carry it. Empty where it sounds.
   */
  readonly findings: readonly Finding[];
  /** With all these edits made it was rendered again, and sounded. */
  readonly tried: boolean;
}

/** What is below this is rounding. */
const NOTHING_DB = -200;
/** Reasons one behind the other that are looked for. */
const MOST_STEPS = 4;
/** Edits that are tried where several could be the one. */
const MOST_TRIALS = 4;

export function silence(hearing: Hearing, patch: Patch, options: SceneOptions): Silence {
  const scene = listen(hearing, patch, options);
  const level = scene.level > NOTHING_DB ? scene.level : undefined;
  const about = { level, seconds: scene.seconds };
  if (scene.level >= SILENT_DB) return { silent: false, ...about, findings: [], tried: false };
  return { silent: true, ...about, ...findReasons(hearing, scene, options) };
}

function findReasons(hearing: Hearing, first: Scene, options: SceneOptions): Pick<Silence, 'findings' | 'tried'> {
  const steps: Finding[] = [];
  let scene = first;
  for (;;) {
    const reasons = reasonsIn(hearing, scene).filter((reason) => !steps.some((step) => sameReason(step, reason)));
    const [nearest] = reasons;
    if (!nearest) return ended(steps, scene);
    const { patch } = scene.wired;
    const sounding = reasons.slice(0, MOST_TRIALS).find((reason) => {
      const after = mended(hearing, patch, reason);
      return after && levelOf(hearing, after, options.seconds) >= SILENT_DB;
    });
    if (sounding) return { findings: needed(hearing, first.wired.patch, [...steps, sounding], options), tried: true };
    const after = mended(hearing, patch, nearest);
    steps.push(nearest);
    if (!after || steps.length === MOST_STEPS) return { findings: steps, tried: false };
    scene = listen(hearing, after, options);
  }
}

/** Nothing further is found though it is still silent: what was tried did not help. */
function ended(steps: readonly Finding[], { wired }: Scene): Pick<Silence, 'findings' | 'tried'> {
  if (wired.blocks.size === 0) return { findings: [], tried: false };
  const outlet = [...wired.blocks.values()].find(({ spec }) => spec.bus);
  const say = outlet
    ? `Nothing that can be heard arrives at ${outlet.label}, and I cannot tell why.`
    : 'Nothing is heard, and I cannot tell why.';
  const unknown: Finding = { id: 'unknown', severity: 'error', ...(outlet && { block: outlet.block.id }), say };
  return { findings: steps.length > 0 ? steps : [unknown], tried: false };
}

/** What the take shows; where that says nothing, what the drawing shows. */
function reasonsIn(hearing: Hearing, scene: Scene): Finding[] {
  const traced = traceSilence(scene);
  return traced.length > 0 ? traced : whySilent(scene.wired.patch, hearing.catalogue);
}

/** The patch with a reason mended; undefined where no edit does that. */
function mended(hearing: Hearing, patch: Patch, { fix }: Finding): Patch | undefined {
  if (!fix) return undefined;
  const outcome = mend(patch, hearing.catalogue, fix);
  return isRefusal(outcome) ? undefined : applyChange(patch, outcome);
}

/** Leaves out what was mended on the way and made no difference. */
function needed(hearing: Hearing, patch: Patch, steps: readonly Finding[], { seconds }: SceneOptions): readonly Finding[] {
  let kept = steps;
  for (const step of steps.slice(0, -1)) {
    const fewer = kept.filter((other) => other !== step);
    const after = fewer.reduce<Patch | undefined>((each, reason) => each && mended(hearing, each, reason), patch);
    if (after && levelOf(hearing, after, seconds) >= SILENT_DB) kept = fewer;
  }
  return kept;
}

function sameReason(a: Finding, b: Finding): boolean {
  return a.id === b.id && a.block === b.block && a.place?.[1] === b.place?.[1];
}
