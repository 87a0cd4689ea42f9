// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { findClicks } from '../../measure/clicks.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import type { Cable, Patch, Place } from '../../patch/document.ts';
import { earPatch, restingEar } from '../../patch/ear.ts';
import { compilePlan } from '../plan/compile.ts';
import type { Plan } from '../plan/plan.ts';
import { Engine } from './engine.ts';
import { EngineState } from './engineState.ts';

const REGION = 4 * 1048576;
const FADE = 240;

/** An engine with two regions, as the live host has it. */
class Rig {
  readonly engine = new Engine(engineModule(), 48000, 1);
  #region = 0;
  plan: Plan;

  constructor(patch: Patch) {
    this.engine.reserve(this.engine.arenaStart + 2 * REGION);
    this.plan = this.#compile(patch, {});
    this.engine.load(this.plan);
  }

  #compile(patch: Patch, more: { previous?: Plan; fade?: { before: Patch; frames: number } }): Plan {
    const base = this.engine.arenaStart + this.#region * REGION;
    return compilePlan(patch, this.engine.catalogue(specs), { rate: 48000, quality: 1, base, ...more });
  }

  /** Left output of `frames` frames. */
  run(frames: number): number[] {
    const out: number[] = [];
    while (out.length < frames) {
      const count = Math.min(128, frames - out.length);
      this.engine.render(count);
      out.push(...this.engine.left.subarray(0, count));
    }
    return out;
  }

  /** Changes over to a patch as the live host does; returns what sounds on the way. */
  change(patch: Patch): number[] {
    const before = this.plan;
    this.#region = 1 - this.#region;
    const through = this.#compile(patch, { previous: before, fade: { before: before.patch, frames: FADE } });
    this.engine.load(through);
    const sound = this.run(FADE);
    this.#region = 1 - this.#region;
    this.plan = this.#compile(patch, { previous: through });
    this.engine.load(this.plan);
    return sound;
  }
}

const cable = (from: readonly [string, string], to: readonly [string, string]): Cable => ({ from, to });
const output = { id: 'out', type: 'output', settings: { level: 0, dcBlock: false, ceiling: false } };
const largestStep = (sound: readonly number[]): number => Math.max(...sound.slice(1).map((x, n) => Math.abs(x - (sound[n] as number))));

const voice: Patch = {
  blocks: [
    { id: 'n', type: 'noise' },
    { id: 'f', type: 'filter', settings: { cutoff: 300, resonance: 0.9 } },
    { id: 'm', type: 'mixer', settings: { level2: 0.5 } },
    output,
  ],
  cables: [
    cable(['n', 'white'], ['f', 'in']),
    cable(['f', 'lowpass'], ['m', 'in1']),
    cable(['m', 'sum'], ['m', 'in2']),
    cable(['m', 'sum'], ['out', 'left']),
  ],
};

const levels: Patch = {
  blocks: [
    { id: 'a', type: 'attenuverter', settings: { gain: 0, offset: 5 } },
    { id: 'b', type: 'attenuverter', settings: { gain: 0, offset: -5 } },
    { id: 'm', type: 'mixer' },
    output,
  ],
  cables: [cable(['a', 'out'], ['m', 'in1']), cable(['m', 'sum'], ['out', 'left'])],
};

describe('changing plans while it sounds', () => {
  it('carries all state over: an edit that changes nothing is not heard, in loops neither', () => {
    const steady = new Rig(voice).run(3000);
    const rig = new Rig(voice);
    const swapped = [...rig.run(1000), ...rig.change(voice), ...rig.run(3000 - 1000 - FADE)];
    expect(swapped).toEqual(steady);
  });

  it('adding a block elsewhere is not heard', () => {
    const steady = new Rig(voice).run(3000);
    const rig = new Rig(voice);
    const more: Patch = { ...voice, blocks: [{ id: 'aa', type: 'noise' }, ...voice.blocks] };
    expect([...rig.run(1000), ...rig.change(more), ...rig.run(3000 - 1000 - FADE)]).toEqual(steady);
  });

  it.each([
    ['another source', { ...levels, cables: [cable(['b', 'out'], ['m', 'in1']), cable(['m', 'sum'], ['out', 'left'])] }, -0.5],
    ['a cable taken away', { ...levels, cables: [cable(['m', 'sum'], ['out', 'left'])] }, 0],
    ['the source removed', { ...levels, blocks: levels.blocks.slice(1), cables: levels.cables.slice(1) }, 0],
    ['the output removed', { ...levels, blocks: levels.blocks.slice(0, 3), cables: levels.cables.slice(0, 1) }, 0],
    [
      'an offset turned',
      { ...levels, blocks: [{ id: 'a', type: 'attenuverter', settings: { gain: 0, offset: -5 } }, ...levels.blocks.slice(1)] },
      -0.5,
    ],
  ] as const)('%s fades over 5 ms without a step', (_what, patch, end) => {
    const rig = new Rig(levels);
    const before = rig.run(2000);
    expect(before.at(-1)).toBeCloseTo(0.5, 6);
    const sound = [...before.slice(-1), ...rig.change(patch), ...rig.run(2000)];
    expect(sound.at(-1)).toBeCloseTo(end, 6);
    expect(largestStep(sound)).toBeLessThan((Math.abs(0.5 - end) / FADE) * 1.1);
  });

  it('a new output block fades in', () => {
    const rig = new Rig({ ...levels, blocks: levels.blocks.slice(0, 3), cables: levels.cables.slice(0, 1) });
    const sound = [...rig.run(500).slice(-1), ...rig.change(levels), ...rig.run(2000)];
    expect(sound.at(-1)).toBeCloseTo(0.5, 6);
    expect(largestStep(sound)).toBeLessThan((0.5 / FADE) * 1.1);
  });
});

describe('an ear that is put on and taken off while it sounds', () => {
  const catalogue = createCatalogue(specs);
  const tones: Patch = {
    blocks: [
      { id: 'a', type: 'oscillator', settings: { tune: 110 } },
      { id: 'b', type: 'oscillator', settings: { tune: 131 } },
      { id: 'm', type: 'mixer' },
      { id: 'out', type: 'output' },
    ],
    cables: [cable(['a', 'sine'], ['m', 'in1']), cable(['m', 'sum'], ['out', 'left'])],
  };
  const on = (place: Place): Patch => earPatch(tones, catalogue, place);

  it('goes over from point to point and back without a click', () => {
    const rig = new Rig(tones);
    const sound = rig.run(12000);
    for (const patch of [on(['b', 'sine']), on(['a', 'triangle']), on(['m', 'sum']), restingEar(tones, catalogue), tones])
      sound.push(...rig.change(patch), ...rig.run(12000));
    // From the first moment the live host fades in; here the tone is there at once.
    expect(
      findClicks(
        sound.map((x) => 10 * x),
        {},
        500,
      ),
    ).toEqual([]);
    for (let i = 0; i < 6; i++) {
      const part = sound.slice(i * (12000 + FADE) + 2000, (i + 1) * (12000 + FADE) - FADE);
      expect(Math.max(...part) * 10).toBeCloseTo(5 * 10 ** (-6 / 20), 1);
    }
  });

  it('would click without the fade: the test can fail', () => {
    const [a, b] = [new Rig(tones).run(12000), new Rig(on(['b', 'sine'])).run(24000).slice(12000)];
    expect(findClicks([...a, ...b].map((x) => 10 * x)).length).toBeGreaterThan(0);
  });
});

describe('snapshots', () => {
  it('restoring gives the same samples again', () => {
    const rig = new Rig(voice);
    const state = new EngineState(rig.engine);
    rig.run(1000);
    const saved = state.save();
    const first = rig.run(2000);
    rig.run(777);
    state.restore(saved);
    expect(rig.run(2000)).toEqual(first);
  });
});
