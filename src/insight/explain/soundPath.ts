/** The way of the sound: where it is made, and what it passes on the way to the outputs. */
import { type Place, placeName } from '../../patch/document.ts';
import { byId, compareIds, figuresOf, hasJob, isSignal } from '../constructions/reading.ts';
import { soundsAlone } from '../signalPath.ts';
import { type KnownBlock, restsAtZero, sourceOf } from '../wired.ts';
import type { Telling } from './telling.ts';

/** A cable of the way. */
export interface Step {
  readonly from: Place;
  readonly to: Place;
}

export interface SoundPath {
  /** Blocks that make sound, by id in the order in which people count. */
  readonly voices: readonly string[];
  /** Among the voices: filters and echoes that gates strike. */
  readonly struck: ReadonlySet<string>;
  /** What the sound passes, each after what feeds it. */
  readonly passed: readonly string[];
  /** Blocks at the outputs of the patch. */
  readonly outlets: readonly string[];
  /** By the block they end in. */
  readonly into: ReadonlyMap<string, readonly Step[]>;
  /** By the block they leave. */
  readonly outOf: ReadonlyMap<string, readonly Step[]>;
}

function isVoice(known: KnownBlock): boolean {
  return hasJob(known, 'tone', 'noise', 'drum', 'playback', 'live');
}

export function createSoundPath(telling: Telling): SoundPath {
  const { wired, found, kinds } = telling;
  const struckFilters = new Set(
    found.filter(({ construction }) => construction.id === 'struck-filter').map(({ blocks }) => blocks[0] ?? ''),
  );
  const into = new Map<string, Step[]>();
  const outOf = new Map<string, Step[]>();
  const order: string[] = [];
  const seen = new Set<string>();

  const stepsInto = (known: KnownBlock): Step[] =>
    known.spec.inputs.flatMap(({ id }) => {
      const from = sourceOf(wired, known.block.id, id);
      if (!from || !(known.spec.bus || isSignal(known, id)) || isShut(telling, known, id)) return [];
      return [{ from, to: [known.block.id, id] as const }];
    });
  const isStruck = (known: KnownBlock, steps: readonly Step[]): boolean =>
    steps.length > 0 &&
    (struckFilters.has(known.block.id) || hasJob(known, 'echo')) &&
    steps.every(({ from }) => kinds.get(placeName(from)) === 'gate');

  const struck = new Set<string>();
  // Depth first, so that a block comes after what feeds it; iterative, as a patch may be a long chain.
  const outlets = [...wired.blocks.values()].filter(({ spec }) => spec.bus).sort(byId);
  for (const outlet of outlets) {
    const path: { readonly known: KnownBlock; readonly rest: Step[] }[] = [];
    const enter = (known: KnownBlock): void => {
      seen.add(known.block.id);
      const steps = isVoice(known) ? [] : stepsInto(known);
      const kept = isStruck(known, steps) ? [] : steps;
      if (kept !== steps) struck.add(known.block.id);
      into.set(known.block.id, kept);
      for (const step of kept) outOf.set(step.from[0], [...(outOf.get(step.from[0]) ?? []), step]);
      path.push({ known, rest: [...kept].reverse() });
    };
    if (!seen.has(outlet.block.id)) enter(outlet);
    for (let top = path.at(-1); top; top = path.at(-1)) {
      const step = top.rest.pop();
      const next = step && wired.blocks.get(step.from[0]);
      if (next && !seen.has(next.block.id)) enter(next);
      else if (!step) {
        order.push(top.known.block.id);
        path.pop();
      }
    }
  }

  const knownOf = (id: string): KnownBlock | undefined => wired.blocks.get(id);
  const voices = order.filter((id) => {
    const known = knownOf(id);
    if (!known || known.spec.bus) return false;
    const alone = (known.spec.flows ?? []).some((flow) => soundsAlone(wired, known, flow)) && !isStill(telling, known);
    return isVoice(known) || struck.has(id) || ((into.get(id)?.length ?? 0) === 0 && alone);
  });
  return {
    voices: [...voices].sort(compareIds),
    struck,
    passed: order.filter((id) => !voices.includes(id) && !knownOf(id)?.spec.bus && (into.get(id)?.length ?? 0) > 0),
    outlets: outlets.map(({ block }) => block.id),
    into,
    outOf,
  };
}

/** Does the take hear nothing of it? */
function isStill(telling: Telling, { block, spec }: KnownBlock): boolean {
  return spec.outputs.every(({ id }) => (figuresOf(telling, [block.id, id])?.rms ?? 1) < 1e-4);
}

/** Is the input turned down to nothing on all its ways through the block? */
function isShut({ wired }: Telling, known: KnownBlock, input: string): boolean {
  const flows = (known.spec.flows ?? []).filter((flow) => flow.from.includes(input));
  return (
    flows.length > 0 &&
    flows.every(({ levels }) => {
      const level = levels?.[input];
      return level !== undefined && restsAtZero(wired, known, level);
    })
  );
}
