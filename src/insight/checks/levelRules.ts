/** What reaches the outputs: too much, too little, direct voltage, what no loudspeaker should get. */
import { FULL_SCALE_VOLTS, levelsOf, toDb } from '../../measure/levels.ts';
import { correlation } from '../../measure/statistics.ts';
import { truePeakOf } from '../../measure/truePeak.ts';
import { settingValue } from '../../patch/settings.ts';
import { sourceOf } from '../wired.ts';
import type { HeardPatch } from './heardPatch.ts';
import { blocksOf, isAnyUsed, numberOf, onLoops, outputName, plain } from './look.ts';
import { firstAtRails } from './rails.ts';
import type { Found, TakeRule } from './rule.ts';

/** Direct voltage from here on is named: 1 % of full scale (our choice; no source). */
const DIRECT_VOLTS = 0.1;
/** A mean over less than a cycle of 20 Hz says nothing of direct voltage. */
const SHORT_SECONDS = 0.05;
/** Below 20 Hz, the lower end of hearing (ISO 226 begins there), from this RMS on: -20 dB of full scale (our choice). */
const LOW_HZ = 20;
const LOW_VOLTS = 1;
/** LUFS. Loudness for distribution lies between -23 (EBU R 128) and about -14; beyond -9 is loud by any of them (our choice). */
const LOUD = -9;
/** LUFS below which a take is hard to hear beside others (our choice: 17 dB under EBU R 128). */
const SOFT = -40;
/** Where the ceiling begins to work: -1 dBTP, full scale 1. */
export const CEILING = 10 ** (-1 / 20);
/** Share of the 10 ms pieces of a take in which the ceiling works, from which on it is named (our choice). */
const BUSY_SHARE = 0.05;
/** Correlation of left and right from which on mono is at risk; below 0 is the meters' warning range (common practice, no source). */
const OPPOSED = -0.3;
/** Full scale 1: -80 dBFS counts as silence (our choice). */
const SILENT = 1e-4;
const LONG_SILENCE_SECONDS = 3;
const LONG_SILENCE_SHARE = 0.4;
/** Each quarter of a take louder than the one before by so much, in dB (our choice). */
const GROWTH_DB = 2;

/** The output that findings about the sum are pinned to. */
function outlet({ outlets }: HeardPatch): { readonly block?: string } {
  const [first] = outlets;
  return first ? { block: first.block.id } : {};
}

function isSilent({ sides }: HeardPatch): boolean {
  return sides.every((side) => side.every((x) => x === 0));
}

/** Rules about what is heard say nothing where there is no output, or nothing is heard. */
const whereHeard =
  (check: (take: HeardPatch) => readonly Found[]) =>
  (take: HeardPatch): readonly Found[] =>
    take.outlets.length === 0 || isSilent(take) ? [] : check(take);

export const levelRules: readonly TakeRule[] = [
  {
    id: 'fault',
    severity: 'error',
    kind: 'take',
    about: 'A block made numbers that are no voltages and was muted.',
    howToFix: 'Look at what feeds it.',
    check: ({ heard }) =>
      heard.faults.map((block) => ({ block, say: `${block} gave numbers that are no voltages and was muted; look at what feeds it.` })),
  },
  {
    id: 'silent-take',
    severity: 'warning',
    kind: 'take',
    about: 'Not one sample of the take differs from 0.',
    howToFix: 'Follow the signal back from the output.',
    check: (take) => {
      const direct = take.directVolts();
      if (take.outlets.length === 0 || take.seconds === 0 || !isSilent(take) || isDirect(direct)) return [];
      return [{ ...outlet(take), say: `Nothing is heard in the ${plain(take.seconds)} s of the take.` }];
    },
  },
  {
    id: 'direct-voltage',
    severity: 'warning',
    kind: 'take',
    about: 'The mean of what an output carries is beyond 0.1 V (our choice). A hint where the dc block takes it away.',
    howToFix: 'Switch the dc block on, or take the offset out where it comes in.',
    check: (take) => {
      if (take.outlets.length === 0 || take.seconds < SHORT_SECONDS) return [];
      const { left, right } = take.directVolts();
      const direct = Math.max(Math.abs(left), Math.abs(right));
      if (direct < DIRECT_VOLTS) return [];
      const leaves = take.sides.some((side) => Math.abs(levelsOf(side).dc) * FULL_SCALE_VOLTS >= DIRECT_VOLTS);
      return leaves
        ? [
            {
              ...outlet(take),
              say: `The output carries ${plain(direct)} V of direct voltage, which strains loudspeakers; switch its dc block on.`,
            },
          ]
        : [
            {
              ...outlet(take),
              severity: 'hint',
              say: `${plain(direct)} V of direct voltage arrive at the output; its dc block takes them away.`,
            },
          ];
    },
  },
  {
    id: 'clipped',
    severity: 'warning',
    kind: 'take',
    about: 'A voltage is cut off at the rails of 12 V; the block where that begins is named.',
    howToFix: 'Turn down what goes into it, or its own level.',
    check: (take) =>
      firstAtRails(take).map(({ known, place, share }) => ({
        block: known.block.id,
        say: `${outputName(take.wired, place)} is cut off at 12 V for ${percent(share)} of the take: turn down what goes into it.`,
      })),
  },
  {
    id: 'below-hearing',
    severity: 'warning',
    kind: 'take',
    about: 'What leaves the patch below 20 Hz has more than 1 V RMS (our choice).',
    howToFix: 'Put a high-pass in front of the output, or keep slow voltages away from it.',
    check: whereHeard((take) => {
      const volts = Math.max(...take.sides.map((side) => lowVolts(side, take.heard.rate)));
      if (volts < LOW_VOLTS) return [];
      const say = `${plain(volts)} V RMS of what leaves the output lie below 20 Hz: not heard, but it moves loudspeakers and takes up level.`;
      return [{ ...outlet(take), say }];
    }),
  },
  {
    id: 'very-loud',
    severity: 'hint',
    kind: 'take',
    about: 'The integrated loudness (ITU-R BS.1770) is beyond -9 LUFS (our choice; EBU R 128 asks for -23).',
    howToFix: 'Turn the level of the output down.',
    check: whereHeard((take) => {
      const lufs = take.loudness() ?? Number.NEGATIVE_INFINITY;
      return lufs > LOUD ? [{ ...outlet(take), say: `The take is very loud: ${plain(lufs)} LUFS. Turn the output down.` }] : [];
    }),
  },
  {
    id: 'very-soft',
    severity: 'hint',
    kind: 'take',
    about: 'The integrated loudness is below -40 LUFS (our choice).',
    howToFix: 'Turn up the level of the output, or of what feeds it.',
    check: whereHeard((take) => {
      const lufs = take.loudness();
      if (lufs === undefined || lufs >= SOFT) return [];
      const say = Number.isFinite(lufs)
        ? `The take is very soft: ${plain(lufs)} LUFS.`
        : 'The take is so soft that a loudness meter reads nothing.';
      return [{ ...outlet(take), say }];
    }),
  },
  {
    id: 'ceiling-busy',
    severity: 'hint',
    kind: 'take',
    about: 'The sum is beyond the ceiling of -1 dBTP in more than 5 % of the take (our choice).',
    howToFix: 'Turn the level of the output down until the ceiling has little to do.',
    check: whereHeard((take) => {
      const [first] = take.outlets;
      if (!first || !isCeilingOn(first)) return [];
      const share = busyShare(take);
      if (share <= BUSY_SHARE) return [];
      return [
        {
          ...outlet(take),
          say: `The ceiling of ${first.label} holds the sound down for ${percent(share)} of the take: turn the output down.`,
        },
      ];
    }),
  },
  {
    id: 'over-full-scale',
    severity: 'warning',
    kind: 'take',
    about: 'The ceiling is off and the true peak (ITU-R BS.1770) is beyond digital full scale.',
    howToFix: 'Switch the ceiling on, or turn the output down.',
    check: whereHeard((take) => {
      const [first] = take.outlets;
      if (!first?.spec.bus || isCeilingOn(first)) return [];
      const peak = Math.max(...take.sides.map(truePeakOf));
      if (peak <= 1) return [];
      const place = [first.block.id, first.spec.bus.ceiling] as const;
      const fix = { label: 'Switch the ceiling on', changes: [{ set: place, value: true }] };
      return [{ ...outlet(take), place, say: `The take reaches ${plain(toDb(peak))} dB over full scale, and the ceiling is off.`, fix }];
    }),
  },
  {
    id: 'mono-cancels',
    severity: 'warning',
    kind: 'take',
    about: 'Left and right are opposed: their correlation is below -0.3 (our choice; below 0 is common practice).',
    howToFix: 'Turn one side the right way up: look for an inverted output or a level below 0.',
    check: whereHeard((take) => {
      const [left, right] = take.sides;
      if (!left || !right) return [];
      const same = correlation(left, right);
      // NaN where a side is silent
      if (!(same < OPPOSED)) return [];
      const say = `Left and right are opposed (correlation ${plain(same)}): on a single loudspeaker they cancel.`;
      return [{ ...outlet(take), say }];
    }),
  },
  {
    id: 'stereo-is-mono',
    severity: 'hint',
    kind: 'take',
    about: 'Left and right come from different outputs and carry the same to a ten-thousandth.',
    howToFix: 'Pan something, or take one side only.',
    check: whereHeard((take) => {
      const [first] = take.outlets;
      const sources = first?.spec.inputs.map(({ id }) => sourceOf(take.wired, first.block.id, id)) ?? [];
      const [a, b] = sources;
      if (!first || !a || !b || a.join('.') === b.join('.') || take.outlets.length > 1) return [];
      const [left, right] = take.sides;
      if (right && left?.some((x, i) => Math.abs(x - (right[i] as number)) > 1e-4)) return [];
      return [
        {
          block: a[0],
          say: `Both sides of ${first.label} carry the same: ${outputName(take.wired, a)} and ${outputName(take.wired, b)} do not differ.`,
        },
      ];
    }),
  },
  {
    id: 'long-silence',
    severity: 'hint',
    kind: 'take',
    about: 'More than 3 s and more than 40 % of the take, in one piece, lie below -80 dBFS (our choice).',
    howToFix: 'Make the take shorter, or see what stops.',
    check: whereHeard((take) => {
      const { from, to } = longestSilence(take);
      const long = to - from;
      if (long < LONG_SILENCE_SECONDS || long < LONG_SILENCE_SHARE * take.seconds) return [];
      return [{ ...outlet(take), say: `Nothing is heard from ${plain(from)} s to ${plain(to)} s of the take.` }];
    }),
  },
  {
    id: 'level-grows',
    severity: 'warning',
    kind: 'take',
    about: 'In a patch with a loop or a feedback, each quarter of the take is at least 2 dB louder than the one before. A rule of thumb.',
    howToFix: 'Turn down the level or the feedback in the loop.',
    check: whereHeard(growing),
  },
];

function isDirect({ left, right }: { readonly left: number; readonly right: number }): boolean {
  return left !== 0 || right !== 0;
}

export function percent(share: number): string {
  return share < 0.01 ? 'less than 1 %' : `${Math.round(100 * share)} %`;
}

function isCeilingOn({ block, spec }: HeardPatch['outlets'][number]): boolean {
  const setting = spec.settings.find(({ id }) => id === spec.bus?.ceiling);
  return setting !== undefined && settingValue(block, setting) === true;
}

/** Share of the 10 ms pieces in which the sum is beyond the ceiling; 0 where it cannot be told. */
export function busyShare(take: HeardPatch): number {
  const channels = take.beforeCeiling();
  if (!channels) return 0;
  const piece = Math.round(take.heard.rate / 100);
  let busy = 0;
  let pieces = 0;
  for (let from = 0; from + piece <= take.heard.frames; from += piece) {
    pieces++;
    if (channels.some((channel) => exceeds(channel, from, from + piece))) busy++;
  }
  return pieces === 0 ? 0 : busy / pieces;
}

function exceeds(channel: Float32Array, from: number, to: number): boolean {
  for (let i = from; i < to; i++) if (Math.abs(channel[i] as number) > CEILING) return true;
  return false;
}

/** RMS in volts of what lies below 20 Hz, direct voltage left out: a low-pass of order 4 (Butterworth: two of order 2 in a row). */
function lowVolts(side: Float32Array, rate: number): number {
  const { dc } = levelsOf(side);
  const first = lowpass(LOW_HZ, 0.541196, rate);
  const second = lowpass(LOW_HZ, 1.306563, rate);
  let squares = 0;
  let [s1, s2, t1, t2] = [0, 0, 0, 0];
  for (let i = 0; i < side.length; i++) {
    // far below hearing, and keeps the states clear of denormal numbers
    const x = (side[i] as number) - dc + 1e-18;
    const y = first.b * x + s1;
    s1 = 2 * first.b * x - first.a1 * y + s2;
    s2 = first.b * x - first.a2 * y;
    const z = second.b * y + t1;
    t1 = 2 * second.b * y - second.a1 * z + t2;
    t2 = second.b * y - second.a2 * z;
    squares += z * z;
  }
  return FULL_SCALE_VOLTS * Math.sqrt(squares / Math.max(1, side.length));
}

/** Bilinear low-pass of order 2: numerator b, 2 b, b over 1, a1, a2. */
function lowpass(hertz: number, q: number, rate: number): { readonly b: number; readonly a1: number; readonly a2: number } {
  const k = Math.tan((Math.PI * hertz) / rate);
  const norm = 1 / (1 + k / q + k * k);
  return { b: k * k * norm, a1: 2 * (k * k - 1) * norm, a2: (1 - k / q + k * k) * norm };
}

/** In seconds. */
function longestSilence({ heard }: HeardPatch): { readonly from: number; readonly to: number } {
  let best = { from: 0, to: 0 };
  let from = 0;
  for (let i = 0; i <= heard.frames; i++) {
    const silent = i < heard.frames && Math.abs(heard.left[i] as number) < SILENT && Math.abs(heard.right[i] as number) < SILENT;
    if (silent) continue;
    if (i - from > best.to - best.from) best = { from, to: i };
    from = i + 1;
  }
  return { from: best.from / heard.rate, to: best.to / heard.rate };
}

function growing(take: HeardPatch): readonly Found[] {
  const { wired, heard } = take;
  const fed = blocksOf(wired).filter(
    (known) => known.spec.feedback && isAnyUsed(wired, known) && numberOf(known, known.spec.feedback.setting) > 0,
  );
  const looped = onLoops(wired);
  const suspect = fed[0] ?? blocksOf(wired).find(({ block }) => looped.has(block.id));
  if (!suspect) return [];
  const quarters = [0, 1, 2, 3].map((n) => {
    const [from, to] = [Math.floor((n * heard.frames) / 4), Math.floor(((n + 1) * heard.frames) / 4)];
    return toDb(Math.hypot(levelsOf(heard.left, from, to).rms, levelsOf(heard.right, from, to).rms));
  });
  const grows = quarters.every((level, n) => n === 0 || level - (quarters[n - 1] as number) >= GROWTH_DB);
  if (!grows) return [];
  const say = `The take gets louder and louder, by ${plain((quarters[3] as number) - (quarters[0] as number))} dB from its first quarter to its last: what goes round through ${suspect.label} grows.`;
  return [{ block: suspect.block.id, say }];
}
