// @vitest-environment node
/** The live host gives the same samples as a take, and changes over without a click. */
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { Engine } from '../../src/engine/hosts/engine.ts';
import { SoundMemory } from '../../src/engine/hosts/soundMemory.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import { compilePlan } from '../../src/engine/plan/compile.ts';
import { settingEvents } from '../../src/engine/plan/events.ts';
import type { LoadedRecording, Plan } from '../../src/engine/plan/plan.ts';
import type { LivePlan } from '../../src/engine/protocol.ts';
import type { Patch } from '../../src/patch/document.ts';
import { engineModule } from '../support/engine.ts';
import { createLiveRig } from '../support/liveProcessor.ts';
import { parityPatch } from '../support/paritySamples.ts';

const probe = new Engine(engineModule(), 48000, 1);
const catalogue = probe.catalogue(specs);
const REGION = 48 * 1048576;
const soundsStart = probe.arenaStart + 2 * REGION;

function plan(
  patch: Patch,
  region: number,
  more: { previous?: Plan; fade?: { before: Patch; frames: number }; recordings?: ReadonlyMap<string, LoadedRecording> } = {},
): Plan {
  return compilePlan(patch, catalogue, { rate: 48000, quality: 1, base: probe.arenaStart + region * REGION, ...more });
}

const live = (made: Plan): LivePlan => ({
  image: made.image,
  base: made.base,
  totalBytes: made.totalBytes,
  taps: made.taps,
  ids: [...made.blocks.values()].sort((a, b) => a.index - b.index).map(({ id }) => id),
});

describe('the live host', () => {
  it('gives the samples of the take, later by the delay of the ceiling', async () => {
    const rig = await createLiveRig(engineModule());
    const ready = rig.posted.find((message) => message.type === 'ready');
    expect(ready).toMatchObject({ arenaStart: probe.arenaStart, regionBytes: REGION, soundsStart, soundsBytes: 96 * 1048576 });
    rig.send({ type: 'gain', gain: 1, frames: 0 });
    rig.send({ type: 'plan', number: 1, plan: live(plan(parityPatch, 0)), fadeFrames: 0, fresh: false });
    const { left, right } = rig.run(370);
    const delay = probe.exports.delayFrames();
    const take = renderTake(engineModule(), specs, parityPatch, { seconds: 1 });
    const frames = left.length - delay;
    expect(left.slice(delay, delay + frames)).toEqual([...take.left.subarray(0, frames)]);
    expect(right.slice(delay, delay + frames)).toEqual([...take.right.subarray(0, frames)]);
    expect(rig.posted).toContainEqual({ type: 'applied', number: 1 });
  });

  it('changes over without a step, and says when', async () => {
    const rig = await createLiveRig(engineModule());
    const level = (offset: number): Patch => ({
      blocks: [
        { id: 'a', type: 'attenuverter', settings: { gain: 0, offset } },
        { id: 'o', type: 'output', settings: { level: 0, dcBlock: false, ceiling: false } },
      ],
      cables: [{ from: ['a', 'out'], to: ['o', 'left'] }],
    });
    const first = plan(level(5), 0);
    rig.send({ type: 'gain', gain: 1, frames: 0 });
    rig.send({ type: 'plan', number: 1, plan: live(first), fadeFrames: 0, fresh: false });
    const sound = rig.run(10).left.slice(-1);
    const unplugged: Patch = { ...level(5), cables: [] };
    const through = plan(unplugged, 1, { previous: first, fade: { before: level(5), frames: 240 } });
    rig.send({
      type: 'plan',
      number: 2,
      plan: live(plan(unplugged, 0, { previous: through })),
      through: live(through),
      fadeFrames: 240,
      fresh: false,
    });
    sound.push(...rig.run(20).left);
    expect(sound[0]).toBeCloseTo(0.5, 6);
    expect(sound.at(-1)).toBe(0);
    expect(Math.max(...sound.slice(1).map((x, n) => Math.abs(x - (sound[n] as number))))).toBeLessThan(0.5 / 240 + 1e-6);
    expect(rig.posted).toContainEqual({ type: 'applied', number: 2 });
  });

  it('lets a turned knob reach the output within one quantum and the delay of the ceiling, far below 30 ms', async () => {
    const rig = await createLiveRig(engineModule());
    const level: Patch = {
      blocks: [
        { id: 'a', type: 'attenuverter', settings: { gain: 0, offset: 1 } },
        { id: 'o', type: 'output', settings: { level: 0, dcBlock: false } },
      ],
      cables: [{ from: ['a', 'out'], to: ['o', 'left'] }],
    };
    const made = plan(level, 0);
    rig.send({ type: 'gain', gain: 1, frames: 0 });
    rig.send({ type: 'plan', number: 1, plan: live(made), fadeFrames: 0, fresh: false });
    const before = rig.run(20).left.at(-1) as number;
    const block = made.blocks.get('a');
    if (!block) throw new Error('The block is missing.');
    rig.send({ type: 'events', events: settingEvents(block, 'offset', 5, 0, 240) });
    const { left } = rig.run(10);
    const reached = left.findIndex((x) => x !== before);
    expect(reached).toBeGreaterThanOrEqual(0);
    expect(reached / 48000).toBeLessThan(0.004);
    expect(left[reached + 240]).toBeCloseTo(0.5, 5);
    // It glides: no frame is more than a 240th of the way from the one before.
    expect(Math.max(...left.slice(1).map((x, n) => Math.abs(x - (left[n] as number))))).toBeLessThan(0.4 / 240 + 1e-5);
  });

  it('starts another patch behind a fade of 20 ms', async () => {
    const rig = await createLiveRig(engineModule());
    const first = plan(parityPatch, 0);
    rig.send({ type: 'plan', number: 1, plan: live(first), fadeFrames: 0, fresh: false });
    rig.send({ type: 'gain', gain: 0.5, frames: 960 });
    rig.run(100);
    rig.send({ type: 'plan', number: 2, plan: live(plan(parityPatch, 1)), fadeFrames: 0, fresh: true });
    const { left } = rig.run(9);
    expect(Math.max(...left.slice(-64).map(Math.abs))).toBeLessThan(0.02);
    rig.run(40);
    expect(rig.posted).toContainEqual({ type: 'applied', number: 2 });
    expect(Math.max(...rig.run(100).left.map(Math.abs))).toBeGreaterThan(0.02);
  });

  it('hands out every frame of a tap, in order, from buffers that come back', async () => {
    const rig = await createLiveRig(engineModule());
    const taps = [{ at: ['slow', 'triangle'] as const }, { at: ['amp', 'out'] as const, peaksOnly: true }];
    const tapped = compilePlan(parityPatch, catalogue, { rate: 48000, quality: 1, base: probe.arenaStart, taps });
    rig.send({ type: 'plan', number: 1, plan: live(tapped), fadeFrames: 0, fresh: false });
    const seen: number[] = [];
    for (let i = 0; i < 40; i++) {
      rig.run(8);
      for (const message of rig.posted.splice(0)) {
        if (message.type !== 'taps') continue;
        expect(message.batch.at).toBe(seen.length);
        seen.push(...message.batch.samples.subarray(0, message.batch.frames));
        rig.send({ type: 'buffer', buffer: message.batch.samples.buffer });
      }
    }
    const take = renderTake(engineModule(), specs, parityPatch, { seconds: 1, taps: [{ at: ['slow', 'triangle'] }] });
    expect(seen.length).toBeGreaterThan(38000);
    expect(seen).toEqual([...(take.taps[0] as Float32Array).subarray(0, seen.length)]);
  });

  it('plays a sound file from slices that come one by one, as a take plays it', async () => {
    const rig = await createLiveRig(engineModule());
    const sound = {
      rate: 44100,
      channels: [3, 5].map((k) => Float32Array.from({ length: 20000 }, (_, n) => 0.4 * Math.sin(n * n * k * 1e-5))),
    };
    const memory = new SoundMemory(soundsStart, 1 << 20, ({ address, samples }) => rig.send({ type: 'sound', address, samples }));
    memory.bring('fog', sound, new Set());
    for (let i = 0; i < 4; i++) {
      expect(memory.find('fog')).toBeUndefined();
      expect(rig.posted.filter(({ type }) => type === 'placed')).toHaveLength(Math.min(4, i + 2));
      memory.acknowledge();
    }
    const patch: Patch = {
      recordings: [{ id: 'fog', name: 'Fog.wav', sha256: 'f'.repeat(64), seconds: 20000 / 44100 }],
      blocks: [
        { id: 'go', type: 'attenuverter' },
        { id: 'player', type: 'samplePlayer', settings: { recording: 'fog' } },
        { id: 'out', type: 'output' },
      ],
      cables: [
        { from: ['go', 'out'], to: ['player', 'play'] },
        { from: ['player', 'left'], to: ['out', 'left'] },
        { from: ['player', 'right'], to: ['out', 'right'] },
      ],
    };
    const found = memory.find('fog');
    if (!found) throw new Error('The sound is not there.');
    rig.send({ type: 'gain', gain: 1, frames: 0 });
    const made = plan(patch, 0, { recordings: new Map([['fog', found]]) });
    rig.send({ type: 'plan', number: 1, plan: live(made), fadeFrames: 0, fresh: false });
    const { left, right } = rig.run(200);
    const delay = probe.exports.delayFrames();
    const take = renderTake(engineModule(), specs, patch, { seconds: 1, recordings: new Map([['fog', sound]]) });
    expect(take.right.some((x) => Math.abs(x) > 0.1)).toBe(true);
    expect(left.slice(delay)).toEqual([...take.left.subarray(0, left.length - delay)]);
    expect(right.slice(delay)).toEqual([...take.right.subarray(0, right.length - delay)]);
  });

  it('brings the live input into the patch on its own frames, one channel on both sides, and nowhere else', async () => {
    const rig = await createLiveRig(engineModule());
    const wired = (cables: Patch['cables']): Patch => ({
      blocks: [
        { id: 'mic', type: 'external' },
        { id: 'out', type: 'output', settings: { level: 0, dcBlock: false, ceiling: false } },
      ],
      cables,
    });
    const heard: Patch['cables'] = [
      { from: ['mic', 'left'], to: ['out', 'left'] },
      { from: ['mic', 'right'], to: ['out', 'right'] },
    ];
    const delay = probe.exports.delayFrames();
    const wave = (n: number): number => Math.fround(0.3 * Math.sin(n * 0.05));
    rig.send({ type: 'gain', gain: 1, frames: 0 });
    rig.send({ type: 'plan', number: 1, plan: live(plan(wired(heard), 0)), fadeFrames: 0, fresh: false });
    const stereo = rig.run(20, (n) => [wave(n), -wave(n)]);
    for (let n = delay; n < 2560; n++) {
      expect(stereo.left[n]).toBeCloseTo(wave(n - delay), 6);
      expect(stereo.right[n]).toBeCloseTo(-wave(n - delay), 6);
    }
    rig.run(8);
    const mono = rig.run(8, (n) => [wave(n)]);
    expect(mono.right).toEqual(mono.left);
    expect(mono.left[1000]).toBeCloseTo(wave(1000 - delay), 6);
    // Nothing plugged in any more: silence, not the last quantum again and again.
    rig.run(8);
    expect(rig.run(8).left.every((x) => x === 0)).toBe(true);
    // What is no number does no harm.
    rig.run(4, () => [Number.NaN, Number.POSITIVE_INFINITY]);
    expect(rig.run(8).left.every((x) => x === 0)).toBe(true);
    expect(rig.posted.some(({ type }) => type === 'fault')).toBe(false);
    rig.send({ type: 'plan', number: 2, plan: live(plan(wired([]), 1)), fadeFrames: 0, fresh: false });
    rig.run(8);
    expect(rig.run(8, (n) => [wave(n)]).left.every((x) => x === 0)).toBe(true);
  });
});
