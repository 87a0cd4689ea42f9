// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { renderWith } from '../../tests/support/earBench.ts';
import { smallCatalogue } from '../../tests/support/smallCatalogue.ts';
import { specs } from '../blocks/specs.gen.ts';
import { levelsOf } from '../measure/levels.ts';
import { truePeakOf } from '../measure/truePeak.ts';
import { createCatalogue } from './blockSpec.ts';
import type { Patch, Place } from './document.ts';
import { earPatch, restingEar } from './ear.ts';

const catalogue = createCatalogue(specs);
const bus = specs.find((spec) => 'bus' in spec);
const patch: Patch = {
  seed: 3,
  blocks: [
    { id: 'n', type: 'noise' },
    { id: 'f', type: 'filter', settings: { cutoff: 500 } },
    { id: 'dc', type: 'attenuverter', settings: { gain: 0, offset: 5 } },
    { id: 'loud', type: 'attenuverter', settings: { gain: 2 } },
    { id: 'ear1', type: 'lfo', settings: { rate: 4 } },
    { id: 'out1', type: 'output', settings: { level: 6, dcBlock: false, ceiling: false } },
    { id: 'out2', type: 'output', settings: { ceiling: false } },
  ],
  cables: [
    { from: ['n', 'white'], to: ['f', 'in'] },
    { from: ['ear1', 'square'], to: ['loud', 'in'] },
    { from: ['ear1', 'sine'], to: ['f', 'fmExp'] },
    { from: ['f', 'lowpass'], to: ['out1', 'left'] },
    { from: ['n', 'white'], to: ['out2', 'right'] },
  ],
};

/** Said in a word: thousands of samples make no readable difference. */
const same = (a: Float32Array, b: Float32Array): boolean => a.length === b.length && a.every((x, n) => x === b[n]);

describe('an ear on a point of the patch', () => {
  it('leaves blocks and cables alone, but for the cables into what is heard', () => {
    const before = structuredClone(patch);
    const heard = earPatch(patch, catalogue, ['n', 'pink']);
    expect(patch).toEqual(before);
    expect(heard.blocks.slice(0, patch.blocks.length)).toEqual(patch.blocks);
    expect(heard.cables.slice(0, 3)).toEqual(patch.cables.slice(0, 3));
    expect(heard.blocks.at(-1)).toMatchObject({ id: 'ear2', type: bus?.type });
    expect(heard.cables.slice(3)).toEqual([{ from: ['n', 'pink'], to: ['ear2', bus?.inputs[0]?.id] }]);
  });

  it('puts dc block and ceiling on, whatever the outputs of the patch do', () => {
    const [, , , , , , , ear] = earPatch(patch, catalogue, ['dc', 'out']).blocks;
    expect(ear?.settings).toEqual({ [bus?.bus?.dcBlock ?? '']: true, [bus?.bus?.ceiling ?? '']: true });
  });

  it('is no ear where there is no such point or nothing is heard', () => {
    expect(earPatch(patch, catalogue, ['n', 'nowhere'])).toBe(patch);
    expect(earPatch(patch, catalogue, ['gone', 'out'])).toBe(patch);
    const silent = new Map([...smallCatalogue].filter(([, spec]) => !spec.bus));
    const small: Patch = { blocks: [{ id: 'a', type: [...silent.keys()][0] as string }], cables: [] };
    expect(earPatch(small, silent, ['a', 'out'])).toBe(small);
  });

  it('rests unfed, with everything else as it was', () => {
    const resting = restingEar(patch, catalogue);
    expect(resting.cables).toBe(patch.cables);
    expect(resting.blocks).toEqual([...patch.blocks, earPatch(patch, catalogue, ['n', 'pink']).blocks.at(-1)]);
  });

  it('gives the point itself, on both sides, at -6 dB of full scale 10 V', () => {
    const { left, right, tap } = renderWith(patch, ['f', 'lowpass'], 2);
    expect(same(right, left)).toBe(true);
    const rms = (samples: Float32Array): number => levelsOf(samples, 48000).rms;
    // The dc block takes away a little of the noise below 5 Hz.
    expect(Math.abs(20 * Math.log10(rms(left) / (rms(tap) / 10)) + 6)).toBeLessThan(0.15);
  });

  it('hears the same random voltages as without it', () => {
    const without = renderWith(patch, ['f', 'lowpass'], 0.1).tap;
    expect(same(renderWith(patch, ['n', 'white'], 0.1, ['f', 'lowpass']).tap, without)).toBe(true);
  });

  it('puts out no direct voltage: of a held 5 V less than 1 mV once the dc block has settled (5 Hz: five time constants are 0.16 s)', () => {
    const { left } = renderWith(patch, ['dc', 'out'], 2);
    expect(levelsOf(renderWith(patch, ['dc', 'out'], 2).tap).dc).toBeCloseTo(5, 6);
    const settled = levelsOf(left, Math.round(0.4 * 48000));
    expect(Math.abs(settled.dc) * 10).toBeLessThan(0.001);
    expect(settled.peak * 10).toBeLessThan(0.001);
  });

  it('keeps below -1 dBTP however loud the point is', () => {
    const { left, tap } = renderWith(patch, ['loud', 'out'] as Place, 1);
    // A step of 20 V behind a dc block reaches 10 V at -6 dB: full scale, if nothing held it.
    expect(levelsOf(tap).peak).toBeGreaterThan(9);
    expect(truePeakOf(left)).toBeLessThanOrEqual(10 ** (-1 / 20) + 1e-3);
  });
});
