// @vitest-environment node
/** Windows of a take that is done: bit for bit what the whole take had there, wherever they lie and in whatever order they come. */
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { parityPatch } from '../../../tests/support/paritySamples.ts';
import { seededPatch, seededSounds } from '../../../tests/support/seededPatch.ts';
import { specs } from '../../blocks/specs.gen.ts';
import type { Patch, Place } from '../../patch/document.ts';
import type { KeptTake } from './keptTake.ts';
import { type Take, type TakeOptions, TakeRenderer } from './take.ts';

const SECONDS = 2.5;
const MUCH = 64e6;

/** Notes on the keys and a hand on three settings, past the ends of windows. */
const played: Patch = {
  seed: 3,
  blocks: [
    { id: 'keys', type: 'keys' },
    { id: 'osc', type: 'oscillator' },
    { id: 'flt', type: 'ladder', settings: { resonance: 0.9 } },
    { id: 'echo', type: 'delay', settings: { feedback: 0.6 } },
    { id: 'out', type: 'output' },
  ],
  cables: [
    { from: ['keys', 'pitch'], to: ['osc', 'pitch'] },
    { from: ['osc', 'saw'], to: ['flt', 'in'] },
    { from: ['flt', 'lowpass24'], to: ['echo', 'in'] },
    { from: ['echo', 'out'], to: ['out', 'left'] },
  ],
  score: Array.from({ length: 14 }, (_, i) => ({ at: 0.17 * i + 0.013, note: 48 + ((i * 5) % 17), length: 0.1, velocity: 0.7 })),
  moves: [
    {
      block: 'flt',
      setting: 'cutoff',
      points: [
        [0.1, 300],
        [1.3, 4000],
        [2.4, 200],
      ],
    },
    {
      block: 'osc',
      setting: 'width',
      points: [
        [0.5, 0.2],
        [1.9, 0.8],
      ],
    },
  ],
};

/** More events than the runtime's pool holds, so that some of them wait for room. */
const crowded: Patch = {
  blocks: [{ id: 'src', type: 'attenuverter', settings: { gain: 0 } }],
  cables: [],
  moves: [{ block: 'src', setting: 'offset', points: Array.from({ length: 9000 }, (_, i) => [1 + i / 48000 / 40, (i % 7) - 3] as const) }],
};

interface Whole {
  readonly take: Take;
  readonly kept: KeptTake;
  readonly outputs: readonly Place[];
}

function whole(patch: Patch, outputs: readonly Place[], options: TakeOptions): Whole {
  const renderer = new TakeRenderer(engineModule(), specs, patch, {
    seconds: SECONDS,
    recordings: seededSounds,
    snapshotBytes: MUCH,
    ...options,
    taps: outputs.map((at) => ({ at })),
  });
  renderer.advance(Number.POSITIVE_INFINITY);
  return { take: renderer.result(), kept: renderer.kept as KeptTake, outputs };
}

function expectSame({ take, kept, outputs }: Whole, from: number, frames: number): void {
  const window = kept.window(from, frames, outputs);
  while (!window.done) window.advance(1000);
  expect(window.taps.map(({ at }) => at)).toEqual(outputs);
  for (const [i, { samples }] of window.taps.entries()) {
    const same = (take.taps[i] as Float32Array).slice(from, from + frames);
    expect(samples.length).toBe(same.length);
    expect(Buffer.compare(Buffer.from(samples.buffer), Buffer.from(same.buffer))).toBe(0);
  }
}

const allOutputs = (patch: Patch): Place[] =>
  patch.blocks.flatMap((block) => (specs.find(({ type }) => type === block.type)?.outputs ?? []).map(({ id }): Place => [block.id, id]));

/** Forwards, backwards, overlapping, at both ends, 20 samples and most of the take. */
const windows = [
  [60000, 4800],
  [64800, 4800],
  [100000, 20],
  [99990, 20],
  [7, 20],
  [0, 2000],
  [31000, 70000],
  [24576, 512],
  [24575, 20],
  [SECONDS * 48000 - 20, 20],
] as const;

const patches: readonly (readonly [string, Patch])[] = [
  ['a voice with a loop', parityPatch],
  ['one played and moved by hand', played],
  ['more events at once than there is room for', crowded],
  ...[3, 8, 21, 34].map((seed) => [`the random patch ${seed}`, seededPatch(seed, 14)] as const),
];

describe.each([1, 4] as const)('at quality %i', (quality) => {
  it.each(patches)('windows of %s are the take again', (_what, patch) => {
    const made = whole(patch, allOutputs(patch), { quality });
    expect(made.take.taps.some((volts) => volts.some((v) => Math.abs(v) > 0.01))).toBe(true);
    for (const [from, frames] of windows) expectSame(made, from, frames);
  });
});

describe('windows', () => {
  const outputs: Place[] = [['amp', 'out']];

  it('end where the take ends and begin where it begins', () => {
    const { kept } = whole(parityPatch, outputs, {});
    const last = kept.window(SECONDS * 48000 - 100, 500, outputs);
    last.advance(Number.POSITIVE_INFINITY);
    expect(last.taps[0]?.samples.length).toBe(100);
    const beyond = kept.window(SECONDS * 48000 + 100, 500, outputs);
    beyond.advance(Number.POSITIVE_INFINITY);
    expect(beyond.taps[0]?.samples.length).toBe(0);
  });

  it('leave out outputs that the take does not record', () => {
    const { kept } = whole(parityPatch, outputs, {});
    expect(kept.window(0, 100, [['flt', 'lowpass24']]).taps).toEqual([]);
  });

  it('are the same with as few snapshots as may be', () => {
    const made = whole(parityPatch, outputs, {});
    expect(made.kept.snapshots).toBe(5);
    made.kept.limit(0);
    expect(made.kept.snapshots).toBe(1);
    for (const [from, frames] of windows) expectSame(made, from, frames);
  });

  it('recorded on the way are those of the whole take', () => {
    const { take } = whole(parityPatch, outputs, {});
    const { take: partly } = whole(parityPatch, outputs, { window: { from: 70001, frames: 3000 } });
    expect(partly.taps[0]).toEqual(take.taps[0]?.slice(70001, 73001));
    expect(partly.left).toEqual(take.left);
    expect(partly.peaks).toEqual(take.peaks);
  });
});

describe('rising edges of a take', () => {
  it('are the beats of the clock, the first on frame 0', () => {
    const clock: Patch = { blocks: [{ id: 'clk', type: 'clock', settings: { bpm: 120 } }], cables: [] };
    for (const quality of [1, 4] as const) {
      const { take } = whole(clock, [['clk', 'beat']], { quality, edgesOf: 0 });
      expect([...take.edges].map((frame) => Math.round(frame / 10))).toEqual([0, 2400, 4800, 7200, 9600]);
    }
  });
});
