/**
 * Whether anything can come out of an output, judged from the drawing alone: sources always speak, a flow passes on what
 * enters it unless it is shut or its level is 0, and what needs a clock or a gate stays still without one.
 * It never calls an output silent that could sound: what it does not know it takes for alive.
 */
import type { FlowSpec, NeedSpec } from '../patch/blockSpec.ts';
import { type Place, placeName } from '../patch/document.ts';
import { findSetting, settingValue } from '../patch/settings.ts';
import type { Finding } from './finding.ts';
import { inputSpec, type KnownBlock, labelOf, mostOf, restsAtZero, sourceOf, type Wired } from './wired.ts';

/** A place where the signal breaks off, and how many blocks it lies behind the output asked about. */
export interface Break {
  readonly finding: Finding;
  /** Something does arrive here, so this is where it dies; else what is behind it is broken too. */
  readonly arrives: boolean;
  readonly depth: number;
}

export interface SignalPath {
  /** Can something come out of this output? */
  isLive(output: Place): boolean;
  /** The breaks behind outputs from which nothing can come. */
  breaks(outputs: readonly Place[]): readonly Break[];
}

/** What is to be said about one output, given which outputs behind it live. */
interface Verdict {
  readonly live: boolean;
  readonly findings: readonly Finding[];
  readonly arrives: boolean;
  /** Silent outputs to look behind. */
  readonly behind: readonly Place[];
}

const LIVE: Verdict = { live: true, findings: [], arrives: true, behind: [] };

export function createSignalPath(wired: Wired): SignalPath {
  const live = new Set<string>();
  const isLive = (output: Place): boolean => live.has(placeName(output)) || !wired.blocks.has(output[0]);

  // Life spreads from the sources until nothing changes: a loop cannot bring itself to life.
  let open = [...wired.blocks.values()];
  while (open.length > 0) {
    const next = new Set<KnownBlock>();
    for (const known of open) {
      for (const output of known.spec.outputs) {
        const place: Place = [known.block.id, output.id];
        if (isLive(place) || !ask(known, output.id).live) continue;
        live.add(placeName(place));
        for (const cable of wired.from.get(placeName(place)) ?? []) {
          const reader = wired.blocks.get(cable.to[0]);
          if (reader) next.add(reader);
        }
      }
    }
    open = [...next];
  }

  function breaks(outputs: readonly Place[]): readonly Break[] {
    const seen = new Set<string>();
    const found: Break[] = [];
    let level = outputs;
    for (let depth = 0; level.length > 0; depth++) {
      const behind: Place[] = [];
      for (const place of level) {
        const name = placeName(place);
        const known = wired.blocks.get(place[0]);
        if (seen.has(name) || !known) continue;
        seen.add(name);
        const verdict = ask(known, place[1]);
        found.push(...verdict.findings.map((finding) => ({ finding, arrives: verdict.arrives, depth })));
        behind.push(...verdict.behind);
      }
      level = behind;
    }
    // Silent, and yet nothing is missing anywhere: whatever there is goes round in a loop.
    const first = outputs[0] && wired.blocks.get(outputs[0][0]);
    return found.length === 0 && first ? [{ finding: onlyItself(first), arrives: true, depth: 0 }] : found;
  }

  function ask(known: KnownBlock, output: string): Verdict {
    for (const need of known.spec.needs ?? []) {
      if (!need.outputs.includes(output) || isExcused(wired, known, need)) continue;
      const source = sourceOf(wired, known.block.id, need.input);
      if (!source) return { live: false, findings: [missingNeed(known, need)], arrives: true, behind: [] };
      if (!isLive(source)) return { live: false, findings: [], arrives: false, behind: [source] };
    }
    const empty = noSoundFile(known);
    if (empty) return { live: false, findings: [empty], arrives: true, behind: [] };
    const flows = (known.spec.flows ?? []).filter((flow) => flow.to.includes(output));
    if (flows.length === 0) return LIVE;
    const verdicts = flows.map((flow) => askFlow(known, flow));
    return (
      verdicts.find((verdict) => verdict.live) ?? {
        live: false,
        findings: verdicts.flatMap((verdict) => verdict.findings),
        arrives: verdicts.some((verdict) => verdict.arrives),
        behind: verdicts.flatMap((verdict) => verdict.behind),
      }
    );
  }

  function askFlow(known: KnownBlock, flow: FlowSpec): Verdict {
    if (soundsAlone(wired, known, flow)) return LIVE;
    const found: Finding[] = [];
    const behind: Place[] = [];
    let entered = false;
    let arrives = false;
    let passes = false;
    for (const id of flow.from) {
      const input = inputSpec(known.spec, id);
      const source = sourceOf(wired, known.block.id, id);
      if (source) entered = true;
      if (source ? !isLive(source) : !input?.normal && !input?.normalSay) {
        if (source) behind.push(source);
        continue;
      }
      arrives = true;
      const level = flow.levels?.[id];
      if (level !== undefined && restsAtZero(wired, known, level)) found.push(levelAtZero(wired, known, level, source));
      else passes = true;
    }
    const shut = shutBy(known, flow);
    if (passes && !shut) return LIVE;
    if (shut) {
      found.push(...shut.findings);
      behind.push(...shut.behind);
    }
    if (!entered && !arrives) found.push(nothingPatched(known, flow));
    return { live: false, findings: found, arrives: arrives || !entered, behind };
  }

  /** What keeps a flow shut; undefined when it is open. */
  function shutBy(known: KnownBlock, flow: FlowSpec): { findings: readonly Finding[]; behind: readonly Place[] } | undefined {
    const { shutWhen } = flow;
    if (!shutWhen?.settingsAtZero.every((setting) => restsAtZero(wired, known, setting))) return undefined;
    const found: Finding[] = [];
    const behind: Place[] = [];
    for (const id of shutWhen.unpatched) {
      const source = sourceOf(wired, known.block.id, id);
      if (!source) continue;
      const amount = inputSpec(known.spec, id)?.amount;
      if (amount !== undefined && restsAtZero(wired, known, amount)) found.push(amountAtZero(wired, known, id, amount, source));
      else if (isLive(source) || restingVolts(source) !== 0) return undefined;
      else behind.push(source);
    }
    return { findings: found.length + behind.length > 0 ? found : [shutFlow(known, shutWhen.say)], behind };
  }

  function restingVolts([id, output]: Place): number {
    return wired.blocks.get(id)?.spec.needs?.find((need) => need.outputs.includes(output))?.rests?.[output] ?? 0;
  }

  return { isLive, breaks };
}

/** A filter that is turned up until it oscillates, or may be brought there by a cable. */
export function soundsAlone(wired: Wired, known: KnownBlock, { alone }: FlowSpec): boolean {
  if (!alone) return false;
  const helped = (alone.orPatched ?? []).some((id) => sourceOf(wired, known.block.id, id) !== undefined);
  return helped || mostOf(wired, known, alone.setting) >= alone.atLeast;
}

/** Does a setting, another cable or what the input rests at make up for the missing one? */
export function isExcused(wired: Wired, { block, spec }: KnownBlock, need: NeedSpec): boolean {
  if (inputSpec(spec, need.input)?.normal && sourceOf(wired, block.id, need.input) === undefined) return true;
  if ((need.orPatched ?? []).some((id) => sourceOf(wired, block.id, id) !== undefined)) return true;
  return (need.unless ?? []).some(({ setting, is }) => {
    const found = findSetting(spec, setting);
    return found !== undefined && settingValue(block, found) === is;
  });
}

export function missingNeed({ block, label }: KnownBlock, need: NeedSpec): Finding {
  return { id: 'needs-cable', severity: 'warning', block: block.id, place: [block.id, need.input], say: `${label} ${need.say}.` };
}

/** A player with nothing to play; undefined where there is something or nothing is needed. */
export function noSoundFile({ block, spec, label }: KnownBlock): Finding | undefined {
  const empty = spec.settings.find((setting) => setting.type === 'recording' && settingValue(block, setting) === '');
  if (!empty) return undefined;
  const say = `${label} is silent, because it has no sound file: choose one in its settings.`;
  return { id: 'no-sound-file', severity: 'warning', block: block.id, place: [block.id, empty.id], say };
}

export function shutFlow({ block, label }: KnownBlock, say: string): Finding {
  return { id: 'shut', severity: 'warning', block: block.id, say: `${label} is silent: ${say}.` };
}

export function nothingPatched({ block, spec, label }: KnownBlock, flow: FlowSpec): Finding {
  const titles = flow.from.map((id) => inputSpec(spec, id)?.title ?? id);
  const where = titles.length === 1 ? `its input "${titles[0]}"` : 'any of its inputs';
  return {
    id: 'no-input',
    severity: 'warning',
    block: block.id,
    place: [block.id, flow.from[0] ?? ''],
    say: `${label} has nothing to work on: nothing is patched to ${where}.`,
  };
}

export function levelAtZero(wired: Wired, { block, spec, label }: KnownBlock, level: string, source: Place | undefined): Finding {
  const title = findSetting(spec, level)?.title ?? level;
  const what = source ? `what comes from ${labelOf(wired, source[0])} stops there` : 'nothing gets through';
  return {
    id: 'level-zero',
    severity: 'warning',
    block: block.id,
    place: [block.id, level],
    say: `"${title}" of ${label} is at 0, so ${what}.`,
  };
}

export function amountAtZero(wired: Wired, { block, spec, label }: KnownBlock, input: string, amount: string, source: Place): Finding {
  const title = findSetting(spec, amount)?.title ?? amount;
  const cable = `the cable from ${labelOf(wired, source[0])} to its input "${inputSpec(spec, input)?.title ?? input}"`;
  return {
    id: 'amount-zero',
    severity: 'hint',
    block: block.id,
    place: [block.id, amount],
    say: `"${title}" of ${label} is at 0, so ${cable} does nothing.`,
  };
}

function onlyItself({ block, label }: KnownBlock): Finding {
  return {
    id: 'only-itself',
    severity: 'warning',
    block: block.id,
    say: `${label} is fed only by itself: a loop needs a sound or a voltage that comes in from outside it.`,
  };
}
