/** Blocks and cables that do nothing, do it twice, or do less than they could. */
import { placeName } from '../../patch/document.ts';
import { settingValue } from '../../patch/settings.ts';
import { amountAtZero } from '../signalPath.ts';
import { inputSpec, type KnownBlock, mostOf, restsAtZero, sourceOf, type Wired } from '../wired.ts';
import { blocksOf, isAnyUsed, isPatched, isUsed, outletsOf } from './look.ts';
import type { Drawing, DrawingRule, Found } from './rule.ts';

export const partRules: readonly DrawingRule[] = [
  {
    id: 'amount-zero',
    severity: 'hint',
    kind: 'drawing',
    about: 'A cable into a control input whose amount is 0.',
    howToFix: 'Turn the amount up or down, or take the cable off.',
    check: ({ wired }) =>
      blocksOf(wired).flatMap((known) =>
        known.spec.inputs.flatMap(({ id, amount }) => {
          const source = sourceOf(wired, known.block.id, id);
          return source && amount && restsAtZero(wired, known, amount) ? [amountAtZero(wired, known, id, amount, source)] : [];
        }),
      ),
  },
  {
    id: 'unheard',
    severity: 'hint',
    kind: 'drawing',
    about: 'A block from which no way leads to an output or a probe.',
    howToFix: 'Run a cable on from it, or take it away.',
    check: unheard,
  },
  {
    id: 'several-outputs',
    severity: 'hint',
    kind: 'drawing',
    about: 'More than one output: what reaches them is added.',
    howToFix: 'Mix into one output, unless stems are wanted.',
    check: ({ wired }) => {
      const outputs = outletsOf(wired);
      const names = outputs.map(({ label }) => label).join(', ');
      return outputs.slice(1, 2).map(({ block }) => ({
        block: block.id,
        say: `The patch has ${outputs.length} outputs (${names}); what reaches them is added together.`,
      }));
    },
  },
  {
    id: 'no-notes',
    severity: 'hint',
    kind: 'drawing',
    about: 'A keyboard is used and the patch has no notes for a take.',
    howToFix: 'Play it live, or use a sequencer in its place.',
    check: ({ wired }) =>
      (wired.patch.score?.length ?? 0) > 0
        ? []
        : blocksOf(wired)
            .filter((known) => known.spec.playsNotes && isAnyUsed(wired, known))
            .map(({ block, label }) => ({
              block: block.id,
              say: `The patch has no notes, so nothing plays ${label} in a take; it can only be played live.`,
            })),
  },
  {
    id: 'live-only',
    severity: 'hint',
    kind: 'drawing',
    about: 'A microphone or line input is used: it is in no take.',
    howToFix: 'Play it live; a recording in a sample player is in takes too.',
    check: ({ wired }) =>
      blocksOf(wired)
        .filter((known) => known.spec.liveInput && isAnyUsed(wired, known))
        .map(({ block, label }) => ({ block: block.id, say: `${label} plays what comes in live, so it is silent in a take.` })),
  },
  {
    id: 'control-unused',
    severity: 'hint',
    kind: 'drawing',
    about: 'An amplifier that stays open at one level, with nothing at its control input.',
    howToFix: 'Patch an envelope or an LFO to it; for a fixed level a mixer does.',
    check: controlUnused,
  },
  {
    id: 'same-work',
    severity: 'hint',
    kind: 'drawing',
    about: 'Two blocks of one function with the same settings and the same cables into them, and no chance in them.',
    howToFix: 'Feed both places from one of them.',
    check: sameWork,
  },
  {
    id: 'one-side',
    severity: 'hint',
    kind: 'drawing',
    about: 'An output that is patched on one side, and the other side stays empty.',
    howToFix: 'Patch both sides; the left side alone is heard on both.',
    check: ({ wired }) =>
      outletsOf(wired).flatMap((known) => {
        const bare = known.spec.inputs.filter((input) => !isPatched(wired, known, input.id) && input.normalFrom === undefined);
        const [full] = known.spec.inputs.filter((input) => isPatched(wired, known, input.id));
        const [empty] = bare;
        const source = full && sourceOf(wired, known.block.id, full.id);
        if (!source || !empty) return [];
        return {
          block: known.block.id,
          place: [known.block.id, empty.id] as const,
          say: `Only "${full.title}" of ${known.label} is patched, so "${empty.title}" stays silent.`,
          fix: { label: 'Patch both sides', changes: [{ connect: { from: source, to: [known.block.id, empty.id] as const } }] },
        };
      }),
  },
  {
    id: 'dc-block-off',
    severity: 'hint',
    kind: 'drawing',
    about: 'The dc block of an output is off.',
    howToFix: 'Switch it on, unless the output drives nothing but a recorder or an instrument.',
    check: ({ wired }) =>
      outletsOf(wired).flatMap(({ block, spec, label }) => {
        const setting = spec.settings.find(({ id }) => id === spec.bus?.dcBlock);
        if (!setting || settingValue(block, setting) !== false || !isAnyPatched(wired, block.id, spec.inputs)) return [];
        const place = [block.id, setting.id] as const;
        const say = `"${setting.title}" of ${label} is off: direct voltage goes on to the loudspeakers.`;
        return [{ block: block.id, place, say, fix: { label: 'Switch it on', changes: [{ set: place, value: true }] } }];
      }),
  },
];

function isAnyPatched(wired: Wired, block: string, inputs: readonly { readonly id: string }[]): boolean {
  return inputs.some(({ id }) => sourceOf(wired, block, id) !== undefined);
}

function unheard({ wired }: Drawing): readonly Found[] {
  const reached = new Set<string>();
  const open = outletsOf(wired).map(({ block }) => block.id);
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
      block: block.id,
      say: `No cable leads from ${label} to an output or a probe, so it makes no difference.`,
    }));
}

function controlUnused({ wired }: Drawing): readonly Found[] {
  return blocksOf(wired).flatMap((known) =>
    (known.spec.flows ?? []).flatMap(({ shutWhen, from, to }) => {
      const control = shutWhen?.unpatched[0];
      const level = shutWhen?.settingsAtZero[0];
      if (control === undefined || level === undefined || !shutWhen) return [];
      if (shutWhen.unpatched.some((input) => isPatched(wired, known, input))) return [];
      if (restsAtZero(wired, known, level) || isMovedByHand(wired, known, level)) return [];
      if (!from.some((input) => isPatched(wired, known, input)) || !isUsed(wired, known, to)) return [];
      const title = inputSpec(known.spec, control)?.title ?? control;
      const setting = known.spec.settings.find(({ id }) => id === level)?.title ?? level;
      return {
        block: known.block.id,
        place: [known.block.id, control] as const,
        say: `Nothing is patched to "${title}" of ${known.label}: it stays open with "${setting}" at ${mostOf(wired, known, level)}, as a mixer would.`,
      };
    }),
  );
}

function isMovedByHand(wired: Wired, known: KnownBlock, setting: string): boolean {
  return (wired.patch.moves ?? []).some((move) => move.block === known.block.id && move.setting === setting);
}

function sameWork({ wired }: Drawing): readonly Found[] {
  const first = new Map<string, KnownBlock>();
  return blocksOf(wired).flatMap((known): Found[] => {
    const { block, spec, label } = known;
    if (spec.chancy || spec.bus || spec.liveInput || spec.playsNotes || !isAnyUsed(wired, known)) return [];
    const work = JSON.stringify([
      block.type,
      spec.settings.map((setting) => settingValue(block, setting)),
      spec.inputs.map(({ id }) => sourceOf(wired, block.id, id)).map((source) => source && placeName(source)),
      (wired.patch.moves ?? []).filter((move) => move.block === block.id).map(({ setting, points }) => [setting, points]),
    ]);
    const twin = first.get(work);
    if (!twin) {
      first.set(work, known);
      return [];
    }
    return [{ block: block.id, say: `${label} does just what ${twin.label} does, so one of them could feed both places.` }];
  });
}
