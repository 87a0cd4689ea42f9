/**
 * What there is to hear at a point of a patch: control voltages are announced as such, since what is heard of them is little and
 * their direct voltage is kept from the loudspeakers.
 */
import { createHighPass } from '../measure/highPass.ts';
import { levelsOf } from '../measure/levels.ts';
import { findEdges } from '../measure/trigger.ts';
import type { SignalKind } from '../patch/blockSpec.ts';

export interface PointContent {
  /** Mean, in volts. */
  readonly volts: number;
  /** Volts from the lowest to the highest. */
  readonly swing: number;
  /** How often it swings, in Hz; undefined where it does so less than twice. */
  readonly rate: number | undefined;
  /** What lies above 20 Hz: its highest value in volts, its share of the power that is no direct voltage, and of the time in which it is there. */
  readonly audible: { readonly peak: number; readonly power: number; readonly time: number };
}

/** The lower limit of hearing (common practice, ISO 226 begins there). */
const HEARD_HZ = 20;
/** What is smaller does not count: 60 dB below a usual 5 V (our choice). */
const LEAST_VOLTS = 0.005;
/** A window of the look at what is audible. */
const WINDOW_SECONDS = 0.02;
/** Something is there in a window that reaches this share of the highest (our choice). */
const THERE = 0.2;
/** The high-pass has settled by then: e^-9 of what was. */
const SETTLE_SECONDS = 0.2;
/** Less of the power, and there for less of the time: edges, not sound (our choice). */
const EDGES = { power: 0.5, time: 0.9 } as const;

/** `samples` in volts. */
export function pointContent(samples: Float32Array, rate: number): PointContent {
  const { dc } = levelsOf(samples);
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const x of samples) {
    if (x < low) low = x;
    if (x > high) high = x;
  }
  const swing = samples.length > 0 ? high - low : 0;
  const edges = swing > LEAST_VOLTS ? findEdges(samples, { level: (low + high) / 2, hysteresis: 0.2 * swing, edge: 'rising' }) : [];
  const [first, last] = [edges[0], edges.at(-1)];
  const swings = first !== undefined && last !== undefined && edges.length > 1 ? ((edges.length - 1) * rate) / (last - first) : undefined;
  return { volts: dc, swing, rate: swings, audible: audibleOf(samples, rate) };
}

/** High-pass of the fourth order at 20 Hz (Butterworth: two second-order sections, Q 0.5412 and 1.3066), settled on the first sample. */
function audibleOf(samples: Float32Array, rate: number): PointContent['audible'] {
  const window = Math.max(1, Math.round(WINDOW_SECONDS * rate));
  const first = createHighPass(HEARD_HZ, 0.5411961, rate, samples[0] ?? 0);
  const second = createHighPass(HEARD_HZ, 1.306563, rate);
  // Movement that is under way when the take begins would look like an edge.
  const begin = samples.length > 2 * SETTLE_SECONDS * rate ? Math.round(SETTLE_SECONDS * rate) : 0;
  const highest: number[] = [];
  let most = 0;
  let heard = 0;
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < samples.length; i++) {
    const x = samples[i] as number;
    const y = second(first(x));
    if (i < begin) continue;
    most = Math.max(most, Math.abs(y));
    heard += y * y;
    sum += x;
    squares += x * x;
    if ((i + 1 - begin) % window === 0) {
      highest.push(most);
      most = 0;
    }
  }
  if (most > 0) highest.push(most);
  const peak = Math.max(0, ...highest);
  const count = Math.max(1, samples.length - begin);
  const power = squares / count - (sum / count) ** 2;
  const there = highest.filter((value) => value > LEAST_VOLTS && value > THERE * peak).length;
  return {
    peak,
    power: power > LEAST_VOLTS ** 2 ? Math.min(1, heard / count / power) : 0,
    time: highest.length > 0 ? there / highest.length : 0,
  };
}

export interface Announcement {
  /** Something is heard throughout: no need to say more than where. */
  readonly sounds: boolean;
  /** '' where there is nothing to announce. */
  readonly say: string;
}

const nouns: Readonly<Record<SignalKind, string>> = {
  audio: 'signal',
  control: 'control voltage',
  pitch: 'pitch voltage',
  gate: 'gate',
};

/** `content` undefined: not measured yet. */
export function announce(kind: SignalKind, content: PointContent | undefined): Announcement {
  const noun = nouns[kind];
  const what = `This is a ${noun}`;
  if (!content) return kind === 'audio' ? { sounds: true, say: '' } : { sounds: false, say: `${what}: most of it is too slow to hear.` };
  const { volts, swing, rate, audible } = content;
  const kept = 'and direct voltage is kept from the loudspeakers';
  if (swing <= LEAST_VOLTS) {
    if (Math.abs(volts) <= LEAST_VOLTS) return { sounds: false, say: `${what} that rests at 0 V: there is nothing to hear.` };
    return { sounds: false, say: `${what} that stands at ${plain(volts)} V: there is nothing to hear, ${kept}.` };
  }
  const fast = rate !== undefined && rate >= HEARD_HZ;
  if (audible.power >= EDGES.power || audible.time >= EDGES.time) {
    if (kind === 'audio') return { sounds: true, say: '' };
    return { sounds: true, say: fast ? `${what}, fast enough to hear: about ${plain(rate)} Hz.` : `${what} with something to hear in it.` };
  }
  if (kind === 'audio' && audible.peak > LEAST_VOLTS) return { sounds: true, say: '' };
  const moves = rate === undefined ? 'it moves too slowly to hear' : `it moves at about ${plain(rate)} Hz, too slow to hear`;
  const heard = audible.peak > LEAST_VOLTS ? 'What you hear are only its edges.' : 'You hear nothing of it.';
  return { sounds: false, say: `${what}: ${moves}. ${heard}` };
}

function plain(value: number): string {
  return String(Number(value.toPrecision(2)));
}
