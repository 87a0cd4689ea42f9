/** Gates, clocks and pitches that do not do as they look. */
import { DEFAULT_SECONDS, type Place, placeName } from '../../patch/document.ts';
import { signalKinds } from '../../patch/signalKind.ts';
import { inputSpec, type KnownBlock, mostOf, sourceOf, type Wired } from '../wired.ts';
import { blocksOf, gateConnections, inputName, isAnyUsed, isPatched, numberOf, outputName, outputSpec, plain } from './look.ts';
import type { Drawing, DrawingRule, Found } from './rule.ts';

/** Two clocks that drift apart by more than this in a take are apart (our choice: what is heard as two strokes; no source). */
const APART_SECONDS = 0.02;
/** Ratios of tempo up to 8 : 8 belong together (our choice). */
const RATIO_NUMBERS = 8;
/** A pitch that is scaled by less is in tune (our choice: 1 cent in an octave). */
const SCALED = 1 / 1200;

export const timeRules: readonly DrawingRule[] = [
  {
    id: 'slow-gate',
    severity: 'hint',
    kind: 'drawing',
    about: 'A gate input fed by a wave that glides: its edge is where the wave passes 1.5 V. A rule of thumb.',
    howToFix: 'Take a square wave, or put a comparator between.',
    check: ({ wired }) =>
      gateConnections(wired).flatMap(({ known, input, source }) =>
        outputSpec(wired, source)?.smooth
          ? {
              block: known.block.id,
              place: [known.block.id, input.id] as const,
              say: `${outputName(wired, source)} glides, and ${inputName({ known, input })} acts only where it passes 1.5 V: a square wave or a comparator has sharp edges.`,
            }
          : [],
      ),
  },
  {
    id: 'clocks-apart',
    severity: 'hint',
    kind: 'drawing',
    about:
      'Two clocks or LFOs that beat freely, at tempos that are no simple ratio up to 8 : 8, drifting apart by 20 ms in the take. A rule of thumb.',
    howToFix: 'Drive both from one clock, or set a simple ratio; leave it where drifting is the idea.',
    check: clocksApart,
  },
  {
    id: 'pitch-scaled',
    severity: 'hint',
    kind: 'drawing',
    about: 'A pitch voltage that passes a level other than 1 on its way to a pitch input: its intervals shrink or grow.',
    howToFix: 'Set the level to 1.',
    check: pitchScaled,
  },
  {
    id: 'feedback-grows',
    severity: 'hint',
    kind: 'drawing',
    about: 'A feedback set so high that what goes round grows.',
    howToFix: 'Turn the feedback down below 1.',
    check: ({ wired }) =>
      blocksOf(wired).flatMap((known) => {
        const { block, spec, label } = known;
        if (!spec.feedback || mostOf(wired, known, spec.feedback.setting) < spec.feedback.growsFrom || !isAnyUsed(wired, known)) return [];
        const title = spec.settings.find(({ id }) => id === spec.feedback?.setting)?.title ?? spec.feedback.setting;
        const place = [block.id, spec.feedback.setting] as const;
        return [{ block: block.id, place, say: `"${title}" of ${label} is so high that what goes round gets louder until it is clipped.` }];
      }),
  },
];

/** Beats per second of a block that beats by itself, undefined where something drives it. */
function freeTempo(wired: Wired, known: KnownBlock): number | undefined {
  const { tempo, settings, inputs } = known.spec;
  if (!tempo || (tempo.unlessPatched !== undefined && isPatched(wired, known, tempo.unlessPatched))) return undefined;
  // what is reset or started by another clock keeps with it
  if (inputs.some((input) => input.kind === 'gate' && isPatched(wired, known, input.id))) return undefined;
  const unit = settings.map((setting) => (setting.id === tempo.setting && setting.type === 'number' ? setting.unit : '')).join('');
  return numberOf(known, tempo.setting) / (unit === 'bpm' ? 60 : 1);
}

/** Does it drive anything by edges? */
function drivesGates(wired: Wired, { block, spec }: KnownBlock): boolean {
  return spec.outputs.some((output) =>
    (wired.from.get(`${block.id}.${output.id}`) ?? []).some(({ to }) => {
      const reader = wired.blocks.get(to[0]);
      return reader && inputSpec(reader.spec, to[1])?.kind === 'gate';
    }),
  );
}

function clocksApart({ wired }: Drawing): readonly Found[] {
  const seconds = wired.patch.seconds ?? DEFAULT_SECONDS;
  const free = blocksOf(wired).flatMap((known) => {
    const hertz = freeTempo(wired, known);
    return hertz !== undefined && drivesGates(wired, known) ? [{ known, hertz }] : [];
  });
  const [first, ...others] = free;
  return others.flatMap(({ known, hertz }) => {
    if (!first || driftOf(hertz / first.hertz) * seconds < APART_SECONDS) return [];
    const say = `${known.label} and ${first.known.label} beat at ${plain(hertz)} and ${plain(first.hertz)} Hz, each for itself, so they drift apart.`;
    return [{ block: known.block.id, ...(known.spec.tempo && { place: [known.block.id, known.spec.tempo.setting] as const }), say }];
  });
}

/** Seconds per second by which a tempo ratio misses the nearest simple one. */
export function driftOf(ratio: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let n = 1; n <= RATIO_NUMBERS; n++) for (let m = 1; m <= RATIO_NUMBERS; m++) least = Math.min(least, Math.abs((ratio * m) / n - 1));
  // far from all of them, or a whole multiple of one
  const whole = Math.round(Math.max(ratio, 1 / ratio));
  return Math.min(least, Math.abs(Math.max(ratio, 1 / ratio) / whole - 1));
}

function pitchScaled({ wired, catalogue }: Drawing): readonly Found[] {
  let kinds: ReturnType<typeof signalKinds> | undefined;
  const isPitch = (source: Place): boolean => {
    kinds ??= signalKinds(wired.patch, catalogue);
    return kinds.get(placeName(source)) === 'pitch';
  };
  return blocksOf(wired).flatMap((known) =>
    (known.spec.flows ?? []).flatMap((flow) =>
      Object.entries(flow.keepsKind ? (flow.levels ?? {}) : {}).flatMap(([input, level]): Found[] => {
        const source = sourceOf(wired, known.block.id, input);
        if (!source) return [];
        const whole = flow.shutWhen && flow.shutWhen.unpatched.length === 0 ? flow.shutWhen.settingsAtZero : [];
        const rest = whole.reduce((product, setting) => product * numberOf(known, setting), 1);
        const factor = Math.abs(numberOf(known, level) * rest);
        if (factor === 0 || Math.abs(factor - 1) < SCALED) return [];
        if (!isPitch(source) || !leadsToPitch(wired, known, flow.to)) return [];
        const title = known.spec.settings.find(({ id }) => id === level)?.title ?? level;
        const place = [known.block.id, level] as const;
        const mends = Math.abs(rest) === 1 ? { fix: { label: 'Set it to 1', changes: [{ set: place, value: 1 }] } } : {};
        return [
          {
            block: known.block.id,
            place,
            say: `The pitch from ${outputName(wired, source)} passes ${known.label} at ${plain(factor)} ("${title}"), so an octave becomes ${plain(12 * factor)} semitones.`,
            ...mends,
          },
        ];
      }),
    ),
  );
}

/** Does a cable lead from one of these outputs to a pitch input, directly or through what hands the voltage on? */
function leadsToPitch(wired: Wired, known: KnownBlock, outputs: readonly string[], seen: ReadonlySet<string> = new Set()): boolean {
  if (seen.has(known.block.id)) return false;
  const past = new Set([...seen, known.block.id]);
  return outputs.some((output) =>
    (wired.from.get(`${known.block.id}.${output}`) ?? []).some(({ to }) => {
      const reader = wired.blocks.get(to[0]);
      if (!reader) return false;
      // a quantizer puts the notes right again
      if (reader.spec.outputs.some(({ notes }) => notes)) return false;
      if (inputSpec(reader.spec, to[1])?.kind === 'pitch') return true;
      const onward = (reader.spec.flows ?? []).filter((flow) => flow.keepsKind && flow.from.includes(to[1])).flatMap((flow) => flow.to);
      return leadsToPitch(wired, reader, onward, past);
    }),
  );
}
