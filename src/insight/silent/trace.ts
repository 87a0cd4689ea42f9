/**
 * From the outputs back to the places where the signal dies. At each block the voltages of the take say whether something goes in
 * and nothing comes out, and the block's spec says what may be the reason. Nothing here knows a type of block.
 */
import type { FlowSpec, NeedSpec } from '../../patch/blockSpec.ts';
import { type Place, placeName } from '../../patch/document.ts';
import { settingValue } from '../../patch/settings.ts';
import type { Finding } from '../finding.ts';
import { noSoundFile } from '../signalPath.ts';
import { inputSpec, type KnownBlock, sourceOf } from '../wired.ts';
import type { Cause, Wish } from './cause.ts';
import * as causes from './causes.ts';
import { cornerReason, hardlyOpenReason, levelReasons, pickReasons, shutReasons, sumReason, thresholdReason } from './flowReasons.ts';
import { ownReason } from './ownReason.ts';
import { LOWEST_HZ, paceReason } from './paceReason.ts';
import { feederOf, rangeOf, readBy, type Scene, SILENT_DB, sizeOf } from './scene.ts';

/** A voltage that is nearer to 0 V counts as none. */
const FAINT_VOLTS = 0.05;
/** What is not louder than this may be the click of something that hardly moves (our choice: one step of 10 V reads -33 dB). */
const WEAK_DB = -30;
/** Reasons that hold however loud something is; the others would call weak what is only not very loud. */
const BEYOND_HEARING: ReadonlySet<string> = new Set(['below-hearing', 'above-hearing']);
const TOLD_BY_WEAKNESS: ReadonlySet<string> = new Set([
  ...BEYOND_HEARING,
  'filter-closed',
  'level-zero',
  'shut',
  'dc-only',
  'switched-away',
  'cancel',
]);
/** A gate that gets this far and no further is worth its own word. */
const LOW_GATE_VOLTS = 0.2;

export function traceSilence(scene: Scene): Finding[] {
  const all = [...scene.wired.blocks.values()].filter(({ spec }) => spec.bus).flatMap((outlet) => traceOutlet(scene, outlet));
  const ordered = [...all].sort((a, b) => Number(b.arrives) - Number(a.arrives) || a.depth - b.depth);
  return distinct(ordered).map(({ finding }) => finding);
}

/** Each reason once per place. */
function distinct(all: readonly Cause[]): Cause[] {
  const seen = new Set<string>();
  return all.filter(({ finding }) => {
    const key = `${finding.id} ${finding.block} ${finding.place?.[1]}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

function traceOutlet(scene: Scene, outlet: KnownBlock): readonly Cause[] {
  const { wired } = scene;
  const inputs = outlet.spec.inputs.filter(({ id }) => sourceOf(wired, outlet.block.id, id));
  if (inputs.length === 0) return [{ finding: causes.outputUnpatched(scene, outlet), arrives: true, depth: 0 }];
  const level = outlet.spec.bus?.level ?? '';
  const standard = Number(outlet.spec.settings.find(({ id }) => id === level)?.default ?? 0);
  const tracer = createTracer(scene, SILENT_DB - Math.max(standard, rangeOf(scene, outlet, level).most));
  return inputs.flatMap(({ id }): readonly Cause[] => {
    const source = feederOf(wired, outlet, id);
    if (!source) return [];
    if (tracer.isGranted(source, 'sound')) {
      const low = rangeOf(scene, outlet, level).most < standard;
      return [{ finding: low ? causes.outputLow(scene, outlet, level) : causes.cannotTell(outlet), arrives: true, depth: 0 }];
    }
    const behind = tracer.why(source, 'sound', 1);
    return behind.length > 0 ? behind : noSoundIn(scene, outlet, id, 0);
  });
}

/** What comes to an input instead of sound, where nothing is amiss with what feeds it. */
function noSoundIn(scene: Scene, known: KnownBlock, input: string, depth: number): readonly Cause[] {
  const figures = readBy(scene, known, input);
  if (!figures) return [];
  const size = sizeOf(figures);
  if (size <= FAINT_VOLTS) return [{ finding: causes.restsAtNothing(scene, known, input, 'gets no sound'), arrives: false, depth }];
  if (figures.most - figures.least <= FAINT_VOLTS)
    return [{ finding: causes.onlyDirect(scene, known, input, figures), arrives: true, depth }];
  const source = feederOf(scene.wired, known, input);
  const kind = source && scene.wired.blocks.get(source[0])?.spec.outputs.find(({ id }) => id === source[1])?.kind;
  // What does not get as far as a gate does is not counted; then it is taken for slow only where it is not meant to be heard.
  if (figures.most < 1.5 ? kind === 'audio' : figures.rises / scene.seconds >= LOWEST_HZ) return [];
  return [{ finding: causes.tooSlowToHear(scene, known, input), arrives: true, depth }];
}

interface Tracer {
  isGranted(place: Place, wish: Wish): boolean;
  why(place: Place, wish: Wish, depth: number): readonly Cause[];
}

/** `stricter`: by what they call audible, the tracers that ask for more; each is made once. */
function createTracer(scene: Scene, audibleDb: number, stricter = new Map<number, Tracer>()): Tracer {
  const { wired, heard } = scene;
  const answered = new Map<string, readonly Cause[]>();
  /** Asked and not answered yet: what comes round to these goes in a circle. */
  const open = new Set<string>();

  function isGranted(place: Place, wish: Wish): boolean {
    const figures = heard.outputs.get(placeName(place));
    if (!figures) return true;
    if (wish === 'sound') return scene.levelAt(place) >= audibleDb;
    if (wish === 'rise') return figures.rises > 0;
    if (wish === 'up') return figures.most > FAINT_VOLTS;
    if (wish === 'down') return figures.least < -FAINT_VOLTS;
    return sizeOf(figures) > FAINT_VOLTS;
  }

  /** Why an output does not grant a wish; empty where nothing is amiss with what it is made of. */
  function why(place: Place, wish: Wish, depth: number): readonly Cause[] {
    const known = wired.blocks.get(place[0]);
    const key = `${placeName(place)} ${wish}`;
    if (open.has(key)) return [{ finding: causes.onlyItself(circleFrom(key)), arrives: false, depth }];
    if (!known) return [];
    const before = answered.get(key);
    if (before) return before;
    open.add(key);
    const found = distinct(whyAsked(known, place, wish, depth));
    open.delete(key);
    answered.set(key, found);
    return found;
  }

  /** The blocks that are asked for and wait for each other, the one that was asked first first. */
  function circleFrom(key: string): KnownBlock[] {
    const names = [...open];
    const ids = new Set(names.slice(names.indexOf(key)).map((name) => name.slice(0, name.indexOf('.'))));
    return [...ids].flatMap((id) => wired.blocks.get(id) ?? []);
  }

  function whyAsked(known: KnownBlock, place: Place, wish: Wish, depth: number): readonly Cause[] {
    const here = (finding: Finding): Cause => ({ finding, arrives: true, depth });
    if (heard.faults.includes(known.block.id)) return [here(causes.faulty(known))];
    const empty = noSoundFile(known);
    if (empty) return [here({ ...empty, severity: 'error' })];
    const own = ownReason(scene, known, place[1]);
    if (own) return [here(own)];
    const waits = (known.spec.needs ?? [])
      .filter((need) => need.outputs.includes(place[1]))
      .flatMap((need) => whyWaits(known, need, depth));
    if (waits.length > 0) return waits;
    const ways = (known.spec.flows ?? []).filter((flow) => flow.to.includes(place[1]));
    const patched = ways.filter(({ from }) => from.some((id) => feederOf(wired, known, id)));
    const flows = patched.length > 0 ? patched : ways;
    const through = flows.flatMap((flow) => whyFlow(known, flow, place[1], wish, depth));
    if (through.length > 0) return through;
    const pace = paceReason(scene, known, place[1], wish);
    return pace ? [here(pace)] : [];
  }

  /** What an output waits for, and what keeps that away. */
  function whyWaits(known: KnownBlock, need: NeedSpec, depth: number): readonly Cause[] {
    const excused = (need.unless ?? []).some(({ setting, is }) => {
      const spec = known.spec.settings.find(({ id }) => id === setting);
      return spec !== undefined && settingValue(known.block, spec) === is;
    });
    const input = inputSpec(known.spec, need.input);
    const patched = [need.input, ...(need.orPatched ?? [])].filter((id) => sourceOf(wired, known.block.id, id));
    if (excused || (input?.normal && !patched.includes(need.input))) return [];
    if (patched.length === 0) return [{ finding: causes.needsCable(scene, known, need), arrives: true, depth }];
    const isGate = input?.kind === 'gate';
    if (patched.some((id) => isGranted(feederOf(wired, known, id) as Place, isGate ? 'rise' : 'any'))) return [];
    return patched.flatMap((id) => {
      if (isGate) return whyNoGate(known, id, need.still, depth);
      const behind = why(feederOf(wired, known, id) as Place, 'any', depth + 1);
      return behind.length > 0 ? behind : [{ finding: causes.restsAtNothing(scene, known, id, need.still), arrives: true, depth }];
    });
  }

  /** Why a patched gate input never sees an edge. */
  function whyNoGate(known: KnownBlock, input: string, still: string | undefined, depth: number): readonly Cause[] {
    const figures = readBy(scene, known, input);
    const source = feederOf(wired, known, input);
    const behind = source && !(figures && figures.most > LOW_GATE_VOLTS) ? why(source, 'rise', depth + 1) : [];
    return behind.length > 0 ? behind : [{ finding: causes.gateLow(scene, known, input, still, figures), arrives: true, depth }];
  }

  function wishInto(known: KnownBlock, input: string, output: string, wish: Wish): Wish {
    if (wish === 'sound') return wish;
    const kind = inputSpec(known.spec, input)?.kind;
    if (kind === 'gate') return 'rise';
    const gives = known.spec.outputs.find(({ id }) => id === output)?.kind;
    if (kind === 'audio' && gives !== 'audio') return 'sound';
    return wish === 'rise' ? 'any' : wish === 'up' || wish === 'down' ? 'any' : wish;
  }

  function whyFlow(known: KnownBlock, flow: FlowSpec, output: string, wish: Wish, depth: number): readonly Cause[] {
    const here = (finding: Finding): Cause => ({ finding, arrives: true, depth });
    const patched = flow.from.filter((id) => feederOf(wired, known, id));
    const arriving = patched.filter((id) => isGranted(feederOf(wired, known, id) as Place, wishInto(known, id, output, wish)));
    const ownNormal = flow.from.some((id) => {
      const input = inputSpec(known.spec, id);
      return !patched.includes(id) && (input?.normalSay !== undefined || Boolean(input?.normal)) && input?.normalFrom === undefined;
    });
    if (arriving.length === 0) {
      if (patched.length === 0) return ownNormal ? [] : [{ finding: causes.nothingIn(scene, known, flow), arrives: false, depth }];
      return patched.flatMap((id) => whyNotIn(known, id, output, wish, depth));
    }
    const picked = pickReasons(scene, known, flow, arriving);
    if (picked.length > 0) {
      const dead = patched.filter((id) => !arriving.includes(id));
      return [...picked.map(here), ...dead.flatMap((id) => whyNotIn(known, id, output, wish, depth + 1))];
    }
    const missed = wish === 'rise' ? thresholdReason(scene, known, flow) : undefined;
    if (missed) return [here(missed)];
    const shut = shutReasons(scene, known, flow, {
      why: (place, sign) => why(place, sign, depth + 1),
      noGate: (id) => whyNoGate(known, id, undefined, depth),
    });
    if (shut.length > 0) return shut.map((each) => ('finding' in each ? each : here(each)));
    const levels = levelReasons(scene, known, flow, arriving, wish === 'sound' ? audibleDb : undefined);
    if (levels.length === arriving.length) return levels.map(here);
    const reason = (wish === 'sound' ? cornerReason(scene, known, flow, output) : undefined) ?? sumReason(scene, known, flow, arriving);
    if (wish !== 'sound') return reason && wish !== 'rise' ? [here(reason)] : [];
    if (reason) return [here(reason)];
    const loudest = Math.max(...arriving.map((id) => scene.levelAt(feederOf(wired, known, id) as Place)));
    const weak = whyWeak(known, arriving, loudest, depth);
    if (weak.length > 0) return weak;
    const hardly = hardlyOpenReason(scene, known, flow);
    if (hardly) return [here(hardly)];
    const apart = loudest > WEAK_DB && flow.shutWhen && flow.shutWhen.unpatched.length > 0;
    return [here(apart ? causes.neverTogether(known) : causes.cannotTell(known))];
  }

  /** What arrives may be a click, or nearly beyond hearing: is there a reason why it is not louder? */
  function whyWeak(known: KnownBlock, arriving: readonly string[], loudest: number, depth: number): readonly Cause[] {
    const louder = 5 * Math.ceil((loudest + 10) / 5);
    const tracer = stricter.get(louder) ?? createTracer(scene, louder, stricter);
    stricter.set(louder, tracer);
    return arriving
      .flatMap((id) => tracer.why(feederOf(wired, known, id) as Place, 'sound', depth + 1))
      .filter(({ finding: { id } }) => (loudest > WEAK_DB ? BEYOND_HEARING : TOLD_BY_WEAKNESS).has(id));
  }

  function whyNotIn(known: KnownBlock, input: string, output: string, wish: Wish, depth: number): readonly Cause[] {
    const into = wishInto(known, input, output, wish);
    if (into === 'rise') return whyNoGate(known, input, undefined, depth);
    const behind = why(feederOf(wired, known, input) as Place, into, depth + 1);
    return behind.length > 0 || into !== 'sound' || wish !== 'sound' ? behind : noSoundIn(scene, known, input, depth);
  }

  return { isGranted, why };
}
