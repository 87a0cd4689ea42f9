// @vitest-environment node
/** Nothing stops for good, and nothing falls asleep into numbers too small to be fast. */
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import type { BlockSpec, SettingValue } from '../../src/patch/blockSpec.ts';
import { runKernel } from '../support/runKernel.ts';
import { uniform } from '../support/signals.ts';

const RATE = 8000;
const SETTLE = 6 * RATE;
const TONE = RATE;

/** Ways of sound through a block, with the settings that open it. */
const ways = specs.flatMap((spec) =>
  (spec.flows ?? []).flatMap((flow) => {
    const input = flow.from.find((id) => spec.inputs.find((port) => port.id === id)?.kind === 'audio');
    const output = flow.to.find((id) => spec.outputs.find((port) => port.id === id)?.kind === 'audio');
    return input && output ? [{ name: `${spec.type}: ${input} to ${output}`, spec, input, output, settings: opened(spec) }] : [];
  }),
);

function opened(spec: BlockSpec): Record<string, SettingValue> {
  const shut = (spec.flows ?? []).flatMap((flow) => [...(flow.shutWhen?.settingsAtZero ?? []), ...Object.values(flow.levels ?? {})]);
  return Object.fromEntries(
    spec.settings.flatMap((setting) => (setting.type === 'number' && shut.includes(setting.id) ? [[setting.id, setting.maximum]] : [])),
  );
}

const rms = (volts: Float32Array): number => Math.sqrt(volts.reduce((sum, v) => sum + v * v, 0) / volts.length);

describe.each(ways)('$name', ({ spec, input, output, settings }) => {
  const tone = (n: number): number => 2 * Math.sin((2 * Math.PI * 441 * n) / RATE);
  const noise = uniform(5);
  const storm = Float32Array.from({ length: RATE / 2 }, (_, n) => (n % 7 === 0 ? 12 : 24 * noise() - 12));
  const start = storm.length + SETTLE;
  const quiet = (n: number): number => (n < start ? 0 : tone(n - start));
  const stormy = (n: number): number => (n < storm.length ? (storm[n] as number) : quiet(n));
  const frames = start + TONE;

  it('passes a tone after a storm and silence as it does without the storm', async () => {
    const others = Object.fromEntries(
      spec.inputs
        .filter(({ id }) => id !== input)
        .map(({ id }) => [id, (n: number) => (n < storm.length ? (storm[(n * 3) % storm.length] as number) : 0)]),
    );
    const calm = Object.fromEntries(Object.keys(others).map((id) => [id, 0]));
    const run = { sampleRate: RATE, frames, settings, outputs: [output] };
    const before = (await runKernel(spec, { ...run, inputs: { ...calm, [input]: quiet } }))[output] as Float32Array;
    const after = (await runKernel(spec, { ...run, inputs: { ...others, [input]: stormy } }))[output] as Float32Array;
    const [expected, measured] = [rms(before.subarray(frames - TONE / 2)), rms(after.subarray(frames - TONE / 2))];
    expect(Math.abs(measured - expected)).toBeLessThan(0.02 * expected + 1e-4);
  });

  it('ends in silence, not in denormal numbers', async () => {
    const { [output]: volts } = await runKernel(spec, {
      sampleRate: RATE,
      frames,
      settings,
      inputs: { [input]: (n: number) => storm[n] ?? 0 },
      outputs: [output],
    });
    const small = (volts as Float32Array).subarray(storm.length).filter((v) => v !== 0 && Math.abs(v) < 1.1754944e-38);
    expect(small.length).toBe(0);
  });
});

it('there are ways of sound to try', () => {
  expect(ways.length).toBeGreaterThan(8);
});
