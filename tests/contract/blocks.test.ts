// @vitest-environment node
/** What every block must keep, written once over all specs and run in the engine that ships. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { Engine } from '../../src/engine/hosts/engine.ts';
import { HEAD_BYTES, layoutOf, outputIds } from '../../src/engine/plan/layout.ts';
import type { BlockSpec, SettingValue } from '../../src/patch/blockSpec.ts';
import { engineModule } from '../support/engine.ts';
import { type KernelRun, runKernel as runAlone } from '../support/runKernel.ts';
import { signalFor, uniform } from '../support/signals.ts';

const folder = fileURLToPath(new URL('../../src/blocks/', import.meta.url));
const engine = new Engine(engineModule(), 48000, 1);
const FRAMES = 4000;

/** A sound file for blocks that play one, at another rate than the engine's. */
const recordings = new Map([['noise', { rate: 44100, channels: [3, 4].map((seed) => Float32Array.from({ length: 700 }, noiseOf(seed))) }]]);
const runKernel: typeof runAlone = (spec, run) => runAlone(spec, { recordings, ...run });

function noiseOf(seed: number): () => number {
  const next = uniform(seed);
  return () => 2 * next() - 1;
}

type Bound = 'minimum' | 'maximum' | 'default';

function settingsAt(spec: BlockSpec, bound: Bound): Record<string, SettingValue> {
  const of = (setting: BlockSpec['settings'][number]): SettingValue => {
    if (bound === 'default') return setting.default;
    if (setting.type === 'list' && setting.bare) {
      return Array.from({ length: setting.maximumLength }, () => setting.fields.map(of)[0] as boolean);
    }
    switch (setting.type) {
      case 'number':
        return setting[bound];
      case 'switch':
        return bound === 'maximum';
      case 'choice':
        return setting.choices[bound === 'maximum' ? setting.choices.length - 1 : 0] as string;
      case 'recording':
        return 'noise';
      case 'list':
        return Array.from({ length: setting.maximumLength }, () =>
          Object.fromEntries(setting.fields.map((field) => [field.id, of(field) as number | boolean])),
        );
    }
  };
  return Object.fromEntries(spec.settings.map((setting) => [setting.id, of(setting)]));
}

/** Some settings between their bounds, from a seed. */
function mixedSettings(spec: BlockSpec, seed: number): Record<string, SettingValue> {
  const next = uniform(seed);
  const of = (setting: BlockSpec['settings'][number]): SettingValue => {
    if (setting.type === 'number') {
      const value = setting.minimum + (setting.maximum - setting.minimum) * next() ** (setting.travel === 'ratio' ? 3 : 1);
      return setting.whole ? Math.round(value) : value;
    }
    if (setting.type === 'switch') return next() < 0.5;
    if (setting.type === 'list' && setting.bare) return Array.from({ length: 5 }, () => setting.fields.map(of)[0] as boolean);
    if (setting.type === 'recording') return 'noise';
    if (setting.type === 'choice') return setting.choices[Math.floor(next() * setting.choices.length)] as string;
    return Array.from({ length: 5 }, () => Object.fromEntries(setting.fields.map((field) => [field.id, of(field) as number | boolean])));
  };
  return Object.fromEntries(spec.settings.map((setting) => [setting.id, of(setting)]));
}

function inputsFor(spec: BlockSpec, seed: number, frames: number): NonNullable<KernelRun['inputs']> {
  return Object.fromEntries(spec.inputs.map((input, i) => [input.id, signalFor(input, seed * 31 + i, frames)]));
}

const notesFor = (spec: BlockSpec): NonNullable<KernelRun['notes']> =>
  spec.playsNotes
    ? [100, 101, 577, 900, 2048, 3001].map((frame, i) => ({ frame, code: i % 3 === 2 ? 0 : 1, a: 48 + 7 * (i % 4), b: 0.7 }))
    : [];

function eventsFor(spec: BlockSpec, seed: number): NonNullable<KernelRun['events']> {
  const other = mixedSettings(spec, seed + 7);
  return spec.settings.map((setting, i) => ({
    frame: 333 + 271 * i,
    setting: setting.id,
    value: other[setting.id] as SettingValue,
    glide: 100 + 91 * (i % 4),
  }));
}

describe.each(specs.map((spec, kind) => [spec.type, spec, kind] as const))('%s', (type, spec, kind) => {
  const layout = layoutOf(spec);
  const moving = {
    frames: FRAMES,
    inputs: inputsFor(spec, 1, FRAMES),
    settings: mixedSettings(spec, 3),
    notes: notesFor(spec),
    events: eventsFor(spec, 5),
  };

  it('has its whole folder, help included', () => {
    for (const file of ['spec.ts', 'kernel.ts', 'symbol.ts', 'docs.md', `${type}.test.ts`])
      expect(existsSync(`${folder}${type}/${file}`), file).toBe(true);
    const docs = readFileSync(`${folder}${type}/docs.md`, 'utf8').toLowerCase();
    expect(docs.length).toBeGreaterThan(200);
  });

  it('is laid out by the compiler as the plan expects', () => {
    expect(engine.exports.portBytes(kind)).toBe(layout.bytes);
    expect(layout.settings[0]?.offset ?? HEAD_BYTES).toBe(HEAD_BYTES);
    expect(engine.exports.structBytes(kind)).toBeGreaterThanOrEqual(layout.bytes);
  });

  it('names only ports and settings that it has', () => {
    const settings = new Set(spec.settings.map(({ id }) => id));
    const inputs = new Set(spec.inputs.map(({ id }) => id));
    const outputs = new Set(spec.outputs.map(({ id }) => id));
    for (const id of spec.keySettings) expect(settings).toContain(id);
    if (spec.beats !== undefined) expect(spec.outputs.find(({ id }) => id === spec.beats)?.kind).toBe('gate');
    for (const { amount, normalFrom } of spec.inputs) {
      if (amount) expect(settings).toContain(amount);
      if (normalFrom) expect(inputs).toContain(normalFrom);
    }
    for (const flow of spec.flows ?? []) {
      for (const id of flow.from) expect(inputs).toContain(id);
      for (const id of flow.to) expect(outputs).toContain(id);
    }
    for (const need of spec.needs ?? []) {
      expect(inputs).toContain(need.input);
      for (const id of need.outputs) expect(outputs).toContain(id);
    }
    for (const setting of spec.settings) {
      if (setting.type !== 'number') continue;
      expect(setting.default).toBeGreaterThanOrEqual(setting.minimum);
      expect(setting.default).toBeLessThanOrEqual(setting.maximum);
    }
  });

  it('does not depend on how the frames are cut', async () => {
    const whole = await runKernel(spec, moving);
    for (const cuts of [[1], [127], [128, 1, 7, 33], [3, 5, 64]]) {
      const cut = await runKernel(spec, { ...moving, cuts });
      for (const id of outputIds(spec)) expect(firstDifference(cut[id], whole[id]), `${id} with cuts ${cuts}`).toBe(-1);
    }
  });

  it('gives each output the same whatever else is read', async () => {
    const whole = await runKernel(spec, moving);
    for (const id of outputIds(spec)) {
      const alone = await runKernel(spec, { ...moving, outputs: [id] });
      expect(firstDifference(alone[id], whole[id]), id).toBe(-1);
    }
  });

  it('marks an output as held only where it is', async () => {
    const ids = outputIds(spec);
    for (const run of [moving, { frames: 1500 }]) {
      await runKernel(spec, {
        ...run,
        cuts: [128, 40, 1],
        inspect: (running, plan, count) => {
          for (const id of ids) {
            const address = plan.signals.get(`block1.${id}`) as number;
            const held = Math.min(count, new DataView(running.exports.memory.buffer).getInt32(address - 16, true));
            const volts = running.signal(address);
            for (let n = 1; n < held; n++) if (volts[n] !== volts[0]) throw new Error(`${id} says held until ${held} but differs at ${n}`);
          }
        },
      });
    }
  });

  it.each([1, 2, 4, 8] as const)('stays finite and within the rails at every bound of its settings, quality %i', async (quality) => {
    for (const bound of ['minimum', 'maximum', 'default'] as const) {
      const out = await runKernel(spec, {
        frames: 2000,
        quality,
        settings: settingsAt(spec, bound),
        inputs: inputsFor(spec, 11, 2000),
        notes: notesFor(spec),
      });
      for (const output of spec.outputs) {
        const volts = out[output.id] as Float32Array;
        const worst = volts.reduce((most, v) => (Number.isFinite(v) ? Math.max(most, Math.abs(v)) : Number.POSITIVE_INFINITY), 0);
        expect(worst, `${output.id} at ${bound}`).toBeLessThanOrEqual(12);
      }
    }
  });

  it('gives the same samples on a second run', async () => {
    const [a, b] = [await runKernel(spec, moving), await runKernel(spec, moving)];
    for (const id of outputIds(spec)) expect(firstDifference(a[id], b[id])).toBe(-1);
  });
});

/** First frame at which two signals differ, -1 if none; lengths count too. */
function firstDifference(a: Float32Array | undefined, b: Float32Array | undefined): number {
  if (!a || !b || a.length !== b.length) return 0;
  return a.findIndex((x, n) => !Object.is(x, b[n]) && x !== b[n]);
}

it('has a folder for each block and a block for each folder', () => {
  const folders = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name);
  expect(folders.sort()).toEqual(specs.map(({ type }) => type).sort());
});

it('gives every block a stem of its own, from which ids and labels are made', () => {
  expect(new Set(specs.map(({ stem }) => stem)).size).toBe(specs.length);
});
