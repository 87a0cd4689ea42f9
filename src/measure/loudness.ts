/**
 * Loudness by ITU-R BS.1770-5 (K-weighting, gating) with the time scales of EBU Tech 3341 (momentary 0.4 s,
 * short-term 3 s, integrated) and the loudness range of EBU Tech 3342. Any sample rate: the two K-weighting filters are
 * derived from their analogue parameters, which give the standard's own coefficients at 48 kHz.
 */

interface Biquad {
  readonly b: readonly [number, number, number];
  /** a1, a2 (a0 = 1). */
  readonly a: readonly [number, number];
}

/** Both K-weighting stages (high shelf, high-pass) for a rate in Hz. */
export function kWeighting(rate: number): readonly [Biquad, Biquad] {
  // Parameters that reproduce BS.1770 Tables 1 and 2; as published with the library libebur128.
  const shelf = { hz: 1681.974450955533, gain: 10 ** (3.999843853973347 / 20), q: 0.7071752369554196 };
  const pass = { hz: 38.13547087602444, q: 0.5003270373238773 };
  const k = Math.tan((Math.PI * shelf.hz) / rate);
  const middle = shelf.gain ** 0.4996667741545416;
  const s0 = 1 + k / shelf.q + k * k;
  const h = Math.tan((Math.PI * pass.hz) / rate);
  const h0 = 1 + h / pass.q + h * h;
  // Table 2 writes the numerator 1, -2, 1 without dividing by h0 of 48 kHz: other rates keep that gain (up to 0.03 dB).
  const h48 = Math.tan((Math.PI * pass.hz) / 48000);
  const gain = (1 + h48 / pass.q + h48 * h48) / h0;
  return [
    {
      b: [
        (shelf.gain + (middle * k) / shelf.q + k * k) / s0,
        (2 * (k * k - shelf.gain)) / s0,
        (shelf.gain - (middle * k) / shelf.q + k * k) / s0,
      ],
      a: [(2 * (k * k - 1)) / s0, (1 - k / shelf.q + k * k) / s0],
    },
    { b: [gain, -2 * gain, gain], a: [(2 * (h * h - 1)) / h0, (1 - h / pass.q + h * h) / h0] },
  ];
}

/** Weights of BS.1770 Table 3: 1 for left, right and centre, 1.41 for the surrounds of a five-channel programme. */
export function channelWeights(channels: number): readonly number[] {
  return channels === 5 ? [1, 1, 1, 1.41, 1.41] : new Array<number>(channels).fill(1);
}

const SLOTS_PER_SECOND = 100;
const MOMENTARY_SLOTS = 40;
const SHORT_SLOTS = 300;
/** Gating blocks and short-term values for the range are taken every 100 ms. */
const STEP_SLOTS = 10;
const ABSOLUTE_GATE = -70;

/** LUFS of a weighted mean square; -Infinity for silence. */
function toLufs(meanSquare: number): number {
  return -0.691 + 10 * Math.log10(meanSquare);
}

function toMeanSquare(lufs: number): number {
  return 10 ** ((lufs + 0.691) / 10);
}

function meanAbove(values: readonly number[], least: number): number {
  let sum = 0;
  let count = 0;
  for (const value of values) {
    if (value > least) {
      sum += value;
      count++;
    }
  }
  return count > 0 ? sum / count : 0;
}

/** LUFS throughout; undefined until enough sound has come in, -Infinity for silence. */
export interface LoudnessMeter {
  /** Takes frames from..to-1 of every channel (full scale 1). */
  push(channels: readonly ArrayLike<number>[], from?: number, to?: number): void;
  /** The last 0.4 s. */
  momentary(): number | undefined;
  /** The last 3 s. */
  shortTerm(): number | undefined;
  /** Everything so far, gated. */
  integrated(): number | undefined;
  /** Loudness range in LU (Tech 3342). */
  range(): number | undefined;
  /** Largest values so far, looked at every 10 ms. */
  highestMomentary(): number | undefined;
  highestShortTerm(): number | undefined;
}

export function createLoudnessMeter(rate: number, channelCount: number, weights = channelWeights(channelCount)): LoudnessMeter {
  const stages = kWeighting(rate);
  /** Two delays of both stages per channel. */
  const memory = new Float64Array(4 * channelCount);
  const slots = new Float64Array(SHORT_SLOTS);
  let slotCount = 0;
  let slotFrames = 0;
  let slotSum = 0;
  let frame = 0;
  let slotEnd = Math.round(rate / SLOTS_PER_SECOND);
  const blocks: number[] = [];
  const shortTerms: number[] = [];
  let highestMomentary = 0;
  let highestShort = 0;

  /** Mean square of the last `count` slots. */
  const meanOf = (count: number): number => {
    let sum = 0;
    for (let i = slotCount - count; i < slotCount; i++) sum += slots[i % SHORT_SLOTS] as number;
    return sum / count;
  };

  const endSlot = (): void => {
    slots[slotCount % SHORT_SLOTS] = slotSum / slotFrames;
    slotCount++;
    slotSum = 0;
    slotFrames = 0;
    slotEnd = Math.round(((slotCount + 1) * rate) / SLOTS_PER_SECOND);
    for (let i = 0; i < memory.length; i++) if (Math.abs(memory[i] as number) < 1e-30) memory[i] = 0;
    if (slotCount >= MOMENTARY_SLOTS) {
      const momentary = meanOf(MOMENTARY_SLOTS);
      highestMomentary = Math.max(highestMomentary, momentary);
      if (slotCount % STEP_SLOTS === 0) blocks.push(momentary);
    }
    if (slotCount >= SHORT_SLOTS) {
      const short = meanOf(SHORT_SLOTS);
      highestShort = Math.max(highestShort, short);
      if (slotCount % STEP_SLOTS === 0) shortTerms.push(short);
    }
  };

  /** Weighted squares of a channel's next frames, K-weighted (transposed direct form II). */
  const addSquares = (samples: ArrayLike<number>, channel: number, from: number, to: number): void => {
    const [{ b: b1, a: a1 }, { b: b2, a: a2 }] = stages;
    const at = 4 * channel;
    let s1 = memory[at] as number;
    let s2 = memory[at + 1] as number;
    let t1 = memory[at + 2] as number;
    let t2 = memory[at + 3] as number;
    let sum = 0;
    for (let i = from; i < to; i++) {
      const x = samples[i] as number;
      const y = b1[0] * x + s1;
      s1 = b1[1] * x - a1[0] * y + s2;
      s2 = b1[2] * x - a1[1] * y;
      const z = y + t1;
      t1 = -2 * y - a2[0] * z + t2;
      t2 = y - a2[1] * z;
      sum += z * z;
    }
    memory[at] = s1;
    memory[at + 1] = s2;
    memory[at + 2] = t1;
    memory[at + 3] = t2;
    // The second stage's numerator is b2[0] times 1, -2, 1.
    slotSum += sum * b2[0] * b2[0] * (weights[channel] ?? 1);
  };

  return {
    push(channels, from = 0, to = channels[0]?.length ?? 0) {
      let at = from;
      while (at < to) {
        const count = Math.min(to - at, slotEnd - frame);
        for (let channel = 0; channel < channelCount; channel++) addSquares(channels[channel] ?? [], channel, at, at + count);
        at += count;
        frame += count;
        slotFrames += count;
        if (frame === slotEnd) endSlot();
      }
    },
    momentary: () => (slotCount < MOMENTARY_SLOTS ? undefined : toLufs(meanOf(MOMENTARY_SLOTS))),
    shortTerm: () => (slotCount < SHORT_SLOTS ? undefined : toLufs(meanOf(SHORT_SLOTS))),
    integrated() {
      if (blocks.length === 0) return undefined;
      const absolute = toMeanSquare(ABSOLUTE_GATE);
      const relative = meanAbove(blocks, absolute) / 10;
      return toLufs(meanAbove(blocks, Math.max(absolute, relative)));
    },
    range() {
      if (shortTerms.length === 0) return undefined;
      const absolute = toMeanSquare(ABSOLUTE_GATE);
      const relative = meanAbove(shortTerms, absolute) / 100;
      const kept = shortTerms.filter((value) => value > Math.max(absolute, relative)).sort((a, b) => a - b);
      const percentile = (share: number): number => kept[Math.round((kept.length - 1) * share)] ?? 0;
      return kept.length > 0 ? toLufs(percentile(0.95)) - toLufs(percentile(0.1)) : 0;
    },
    highestMomentary: () => (slotCount < MOMENTARY_SLOTS ? undefined : toLufs(highestMomentary)),
    highestShortTerm: () => (slotCount < SHORT_SLOTS ? undefined : toLufs(highestShort)),
  };
}

/** Integrated loudness in LUFS of whole channels (full scale 1); undefined below 0.4 s, -Infinity for silence. */
export function integratedLoudness(channels: readonly ArrayLike<number>[], rate: number): number | undefined {
  const meter = createLoudnessMeter(rate, channels.length);
  meter.push(channels);
  return meter.integrated();
}
