// @vitest-environment node
/** Loops run by short ways where nothing bends; these must give the bits of the long way. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { closedVoice, loopedVoice } from '../../src/cli/bench/patches.ts';
import type { BlockSpec, SettingSpec } from '../../src/patch/blockSpec.ts';
import type { Block, Patch } from '../../src/patch/document.ts';
import { settingValue } from '../../src/patch/settings.ts';
import { runPatch } from '../support/runPatch.ts';

const voice = JSON.parse(readFileSync('tests/bench/voice.patch.json', 'utf8')) as Patch;
const specOf = (block: Block): BlockSpec => specs.find(({ type }) => type === block.type) as BlockSpec;
const FRAMES = 3000;

/** A setting that may be set at any time. */
function plainSetting(block: Block): SettingSpec | undefined {
  return specOf(block).settings.find(({ type }) => type === 'number' || type === 'switch' || type === 'choice');
}

/** All outputs of the patch; with `bends` each block has a setting set to the value it has, in every chunk. */
function outputs(patch: Patch, quality: 1 | 4, bends: boolean): Record<string, Float32Array> {
  const events = patch.blocks.flatMap((block) => {
    const setting = plainSetting(block);
    if (!setting || !bends) return [];
    const value = settingValue(block, setting);
    return Array.from({ length: Math.floor(FRAMES / 128) }, (_, k) => ({
      block: block.id,
      frame: 128 * k + 77,
      setting: setting.id,
      value,
    }));
  });
  const names = patch.blocks.flatMap((block) => specOf(block).outputs.map(({ id }) => `${block.id}.${id}`));
  return runPatch(patch, { frames: FRAMES, quality, outputs: names, events }).out;
}

/** Outputs that differ and the frame from which on; empty where every bit is the same. */
function differences(a: Record<string, Float32Array>, b: Record<string, Float32Array>): string[] {
  return Object.keys(a).flatMap((name) => {
    const at = a[name]?.findIndex((volts, n) => !Object.is(volts, b[name]?.[n])) ?? 0;
    return at < 0 ? [] : [`${name} from frame ${at} on`];
  });
}

/** Two oscillators into a block, and its first output back into both and into itself, quietly. */
function ringAround(spec: BlockSpec): Patch {
  const out = spec.outputs[0]?.id as string;
  const [first, ...others] = spec.inputs;
  return {
    seed: 5,
    blocks: [
      { id: 'a', type: 'oscillator', settings: { tune: 700, fmLinAmount: 0.3 } },
      { id: 'b', type: 'lfo', settings: { rate: 40 } },
      { id: 'mix', type: 'mixer', settings: { level2: 0.2 } },
      { id: 'x', type: spec.type },
    ],
    cables: [
      { from: ['a', 'saw'], to: ['mix', 'in1'] },
      { from: ['x', out], to: ['mix', 'in2'] },
      { from: ['mix', 'sum'], to: ['x', first?.id as string] },
      { from: ['x', out], to: ['a', 'fmLin'] },
      ...others
        .slice(0, 3)
        .map(({ id }, i) => ({ from: i === 2 ? (['a', 'sine'] as const) : (['b', 'triangle'] as const), to: ['x', id] as const })),
    ],
  };
}

describe('a loop', () => {
  const inLoops = specs.filter(({ outputs: outs, inputs }) => outs.length > 0 && inputs.length > 0);
  it.each(inLoops.map((spec) => [spec.type, spec] as const))(
    'with %s in it gives the same bits whether settings bend or not',
    (_type, spec) => {
      const patch = ringAround(spec);
      for (const quality of [1, 4] as const) {
        expect(differences(outputs(patch, quality, true), outputs(patch, quality, false))).toEqual([]);
      }
    },
  );

  it.each([
    ['four blocks', loopedVoice(voice)],
    ['the whole voice', closedVoice(voice)],
  ])('of %s does so too', (_name, patch) => {
    expect(differences(outputs(patch, 1, true), outputs(patch, 1, false))).toEqual([]);
  });
});
