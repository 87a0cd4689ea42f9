// @vitest-environment node
/**
 * Inputs move settings as their specs say: a block whose input reads a steady voltage does the same as one whose setting stands where
 * the spec puts it, with 0 V at the input.
 */
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import type { BlockSpec, InputSpec, MovesSpec, NumberSetting } from '../../src/patch/blockSpec.ts';
import { fromTravel } from '../../src/patch/values/index.ts';
import { runKernel } from '../support/runKernel.ts';
import { signalFor } from '../support/signals.ts';

const FRAMES = 24_000;
/** A low rate, so that slow blocks do something. */
const RATE = 8000;

const all = specs.flatMap((spec: BlockSpec) =>
  spec.inputs.flatMap((input) =>
    input.moves ? [{ name: `${spec.type}: ${input.id} moves ${input.moves.setting}`, spec, input, moves: input.moves }] : [],
  ),
);

/** In the middle of its way, where it can be moved up and down. */
const middle = (setting: NumberSetting): number => fromTravel(0.5, setting);

async function run(spec: BlockSpec, input: InputSpec, volts: number, settings: Record<string, number | string>, driven: boolean) {
  const others = driven ? spec.inputs.filter(({ id }) => id !== input.id) : [];
  const signals = others.map((other, i) => [other.id, signalFor(other, i + 1, FRAMES)] as const);
  return await runKernel(spec, {
    sampleRate: RATE,
    frames: FRAMES,
    inputs: { ...Object.fromEntries(signals), [input.id]: volts },
    settings,
  });
}

function expectedValue({ law, perVolt }: MovesSpec, base: number, amount: number, volts: number): number {
  return law === 'octaves' ? base * 2 ** (perVolt * amount * volts) : base + perVolt * amount * volts;
}

/** Signals at all other inputs or at none, and each choice of the block in turn. */
function surroundings(spec: BlockSpec): (readonly [boolean, Record<string, string>])[] {
  const choices = spec.settings.flatMap((each) => (each.type === 'choice' ? each.choices.map((choice) => ({ [each.id]: choice })) : []));
  return [true, false].flatMap((driven) => [{}, ...choices].map((choice) => [driven, choice] as const));
}

const distance = (a: Float32Array | undefined, b: Float32Array | undefined): number =>
  Array.from(a ?? []).reduce((sum, volts, i) => sum + Math.abs(volts - (b?.[i] ?? 0)), 0);

describe.each(all)('$name', ({ spec, input, moves }) => {
  const setting = spec.settings.find(({ id }) => id === moves.setting) as NumberSetting;
  const others = Object.fromEntries(
    spec.settings.flatMap((each) => (each.type === 'number' && !each.whole && each.id === setting.id ? [[each.id, middle(each)]] : [])),
  );
  const base = middle(setting);
  const amount = input.amount === undefined ? 1 : 0.5;
  const scaled = input.amount === undefined ? {} : { [input.amount]: amount };
  const reach = moves.law === 'octaves' ? 0.8 / moves.perVolt : (0.3 * (setting.maximum - setting.minimum)) / moves.perVolt;

  it.each([1, -1])('as it says, in direction %i', async (sign) => {
    const volts = Math.fround(Math.max(-8, Math.min(8, (sign * reach) / amount)));
    const value = expectedValue(moves, base, amount, volts);
    expect(value).toBeGreaterThan(setting.minimum);
    expect(value).toBeLessThan(setting.maximum);
    let effect = 0;
    // A clock at another input, say, may make a rate idle, or a mode may leave a time out.
    for (const [driven, choices] of surroundings(spec)) {
      if (effect > 1) break;
      const moved = await run(spec, input, volts, { ...choices, ...others, ...scaled }, driven);
      const set = await run(spec, input, 0, { ...choices, ...others, ...scaled, [setting.id]: value }, driven);
      const still = await run(spec, input, 0, { ...choices, ...others, ...scaled }, driven);
      const change = spec.outputs.reduce((sum, { id }) => sum + distance(moved[id], still[id]), 0);
      const wrong = spec.outputs.reduce((sum, { id }) => sum + distance(moved[id], set[id]), 0);
      // All that it does is what the setting would do.
      expect(wrong).toBeLessThanOrEqual(0.01 * change + 1e-6);
      effect += change;
    }
    expect(effect).toBeGreaterThan(1);
  });
});
