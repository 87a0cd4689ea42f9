/** Mistakes that can be seen in the drawing before anything sounds. Every rule reads specs; none knows a type of block. */
import type { Catalogue } from '../patch/blockSpec.ts';
import { type Patch, placeName } from '../patch/document.ts';
import { settingValue } from '../patch/settings.ts';
import type { Finding, Severity } from './finding.ts';
import { amountAtZero, isExcused, levelAtZero, missingNeed, noSoundFile, nothingPatched, shutFlow, soundsAlone } from './signalPath.ts';
import { distinct, whySilent } from './silence.ts';
import { inputSpec, type KnownBlock, restsAtZero, sourceOf, type Wired, wirePatch } from './wired.ts';

type Rule = (wired: Wired) => Finding[];

/**
 * All findings, errors first, then warnings and hints; within each in the order of the rules and of the blocks.
 * `missing` names sound files (by sha256) that are not there.
 */
export function findings(patch: Patch, catalogue: Catalogue, missing: ReadonlySet<string> = new Set()): Finding[] {
  const wired = wirePatch(patch, catalogue);
  const rules: readonly Rule[] = [
    closedFlows,
    missingNeeds,
    noSoundFiles,
    (each) => missingSoundFiles(each, missing),
    emptyInputs,
    levelsAtZero,
    amountsAtZero,
    unheard,
    severalOutputs,
    noNotes,
    liveOnly,
  ];
  const all = [...whySilent(patch, catalogue), ...rules.flatMap((rule) => rule(wired))];
  const rank: readonly Severity[] = ['error', 'warning', 'hint'];
  return distinct(all.sort((a, b) => rank.indexOf(a.severity) - rank.indexOf(b.severity)));
}

const blocksOf = (wired: Wired): KnownBlock[] => [...wired.blocks.values()];

function isUsed(wired: Wired, known: KnownBlock, outputs: readonly string[]): boolean {
  const probes = new Set((wired.patch.probes ?? []).map((probe) => placeName(probe.at)));
  return outputs.some((output) => wired.from.has(`${known.block.id}.${output}`) || probes.has(`${known.block.id}.${output}`));
}

function isAnyUsed(wired: Wired, known: KnownBlock): boolean {
  return isUsed(
    wired,
    known,
    known.spec.outputs.map((output) => output.id),
  );
}

function isPatched(wired: Wired, known: KnownBlock, input: string): boolean {
  return sourceOf(wired, known.block.id, input) !== undefined;
}

/** An amplifier that rests closed, with a signal waiting in front of it. */
function closedFlows(wired: Wired): Finding[] {
  return blocksOf(wired).flatMap((known) =>
    (known.spec.flows ?? []).flatMap(({ shutWhen, from, to }) => {
      if (!shutWhen || !from.some((input) => isPatched(wired, known, input)) || !isUsed(wired, known, to)) return [];
      const closed = shutWhen.settingsAtZero.every((setting) => restsAtZero(wired, known, setting));
      const helped = shutWhen.unpatched.some((input) => isPatched(wired, known, input));
      return closed && !helped ? [shutFlow(known, shutWhen.say)] : [];
    }),
  );
}

/** A sequencer without a clock, an envelope without a gate. */
function missingNeeds(wired: Wired): Finding[] {
  return blocksOf(wired).flatMap((known) =>
    (known.spec.needs ?? [])
      .filter((need) => !isPatched(wired, known, need.input) && !isExcused(wired, known, need) && isUsed(wired, known, need.outputs))
      .map((need) => missingNeed(known, need)),
  );
}

function noSoundFiles(wired: Wired): Finding[] {
  return blocksOf(wired).flatMap((known) => (isAnyUsed(wired, known) ? (noSoundFile(known) ?? []) : []));
}

/** A recording that the patch names and that is not in this notebook. */
function missingSoundFiles(wired: Wired, missing: ReadonlySet<string>): Finding[] {
  const gone = new Map((wired.patch.recordings ?? []).filter(({ sha256 }) => missing.has(sha256)).map(({ id, name }) => [id, name]));
  return blocksOf(wired).flatMap(({ block, spec, label }) =>
    spec.settings.flatMap((setting): Finding[] => {
      const name = setting.type === 'recording' ? gone.get(String(settingValue(block, setting))) : undefined;
      if (name === undefined) return [];
      const say = `The sound file "${name}" of ${label} is not in this notebook: choose it again in its settings.`;
      return [{ id: 'sound-file-missing', severity: 'warning', block: block.id, place: [block.id, setting.id], say }];
    }),
  );
}

/** A filter or an amplifier with nothing in it. */
function emptyInputs(wired: Wired): Finding[] {
  return blocksOf(wired).flatMap((known) =>
    (known.spec.flows ?? []).flatMap((flow) => {
      const speaks = flow.from.some((id) => {
        const input = inputSpec(known.spec, id);
        return isPatched(wired, known, id) || Boolean(input?.normal) || input?.normalSay !== undefined;
      });
      return speaks || soundsAlone(wired, known, flow) || !isUsed(wired, known, flow.to) ? [] : [nothingPatched(known, flow)];
    }),
  );
}

function levelsAtZero(wired: Wired): Finding[] {
  return blocksOf(wired).flatMap((known) =>
    (known.spec.flows ?? []).flatMap((flow) =>
      Object.entries(flow.levels ?? {}).flatMap(([input, level]) => {
        const source = sourceOf(wired, known.block.id, input);
        return source && restsAtZero(wired, known, level)
          ? [{ ...levelAtZero(wired, known, level, source), severity: 'hint' as const }]
          : [];
      }),
    ),
  );
}

function amountsAtZero(wired: Wired): Finding[] {
  return blocksOf(wired).flatMap((known) =>
    known.spec.inputs.flatMap(({ id, amount }) => {
      const source = sourceOf(wired, known.block.id, id);
      return source && amount && restsAtZero(wired, known, amount) ? [amountAtZero(wired, known, id, amount, source)] : [];
    }),
  );
}

/** Blocks from which no way leads to an output or a probe. */
function unheard(wired: Wired): Finding[] {
  const reached = new Set<string>();
  const open = blocksOf(wired).flatMap(({ block, spec }) => (spec.bus ? [block.id] : []));
  if (open.length === 0) return [];
  open.push(...(wired.patch.probes ?? []).map((probe) => probe.at[0]));
  for (let id = open.pop(); id !== undefined; id = open.pop()) {
    if (reached.has(id)) continue;
    reached.add(id);
    for (const input of wired.blocks.get(id)?.spec.inputs ?? []) {
      const source = sourceOf(wired, id, input.id);
      if (source) open.push(source[0]);
    }
  }
  return blocksOf(wired)
    .filter(({ block }) => !reached.has(block.id))
    .map(({ block, label }) => ({
      id: 'unheard',
      severity: 'hint',
      block: block.id,
      say: `No cable leads from ${label} to an output or a probe, so it makes no difference.`,
    }));
}

function severalOutputs(wired: Wired): Finding[] {
  const outputs = blocksOf(wired).filter(({ spec }) => spec.bus);
  const names = outputs.map(({ label }) => label).join(', ');
  return outputs.slice(1, 2).map(({ block }) => ({
    id: 'several-outputs',
    severity: 'hint',
    block: block.id,
    say: `The patch has ${outputs.length} outputs (${names}); what reaches them is added together.`,
  }));
}

/** A keyboard that nobody plays in a take. */
function noNotes(wired: Wired): Finding[] {
  if ((wired.patch.score?.length ?? 0) > 0) return [];
  return blocksOf(wired)
    .filter((known) => known.spec.playsNotes && isAnyUsed(wired, known))
    .map(({ block, label }) => ({
      id: 'no-notes',
      severity: 'hint',
      block: block.id,
      say: `The patch has no notes, so nothing plays ${label} in a take; it can only be played live.`,
    }));
}

/** What a microphone brings is in no take. */
function liveOnly(wired: Wired): Finding[] {
  return blocksOf(wired)
    .filter((known) => known.spec.liveInput && isAnyUsed(wired, known))
    .map(({ block, label }) => ({
      id: 'live-only',
      severity: 'hint',
      block: block.id,
      say: `${label} plays what comes in live, so it is silent in a take.`,
    }));
}
