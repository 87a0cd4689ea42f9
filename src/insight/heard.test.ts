// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../tests/support/engine.ts';
import { specs } from '../blocks/specs.gen.ts';
import { renderTake } from '../engine/hosts/take.ts';
import { createCatalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import { createHearing, inputFigures } from './heard.ts';
import { steadyFigures, Tally } from './tally.ts';
import { wirePatch } from './wired.ts';

describe('figures of a voltage', () => {
  it('a sine of 5 V has an RMS of 5 / sqrt 2 (theory), and what comes in pieces is as what comes at once', () => {
    const sine = Float32Array.from({ length: 4800 }, (_, i) => 5 * Math.sin((2 * Math.PI * i) / 480));
    const whole = new Tally();
    whole.add(sine, sine.length);
    const parts = new Tally();
    for (let at = 0; at < sine.length; at += 100) parts.add(sine.subarray(at), 100);
    expect(whole.figures().rms).toBeCloseTo(5 / Math.SQRT2, 6);
    expect(whole.figures()).toMatchObject({ rises: 10 });
    expect(parts.figures()).toEqual(whole.figures());
  });

  it('a steady voltage does not move, has its own mean and rises once where it is a gate', () => {
    expect(steadyFigures(8)).toMatchObject({ least: 8, most: 8, mean: 8, rms: 0, rises: 1, highShare: 1 });
    expect(steadyFigures(-3)).toMatchObject({ mean: -3, rises: 0 });
  });
});

describe('a heard take', () => {
  const patch: Patch = {
    seconds: 1,
    blocks: [
      { id: 'l', type: 'lfo', at: [0, 0], settings: { rate: 2 } },
      { id: 'a', type: 'vca', at: [0, 0] },
      { id: 'o', type: 'output', at: [0, 0] },
    ],
    cables: [
      { from: ['l', 'square'], to: ['a', 'in'] },
      { from: ['a', 'out'], to: ['o', 'left'] },
    ],
  };

  it('knows every output, keeps the samples that were asked for, and knows what inputs read', () => {
    const { hear, catalogue } = createHearing((each, options) => renderTake(engineModule(), specs, each, options), createCatalogue(specs));
    const heard = hear(patch, { samples: [['l', 'square']] });
    const square = heard.outputs.get('l.square');
    expect(square).toMatchObject({ least: -5, most: 5, rises: 2, frames: 48000 });
    expect(heard.samples.get('l.square')?.filter((volts) => volts === 5).length).toBe(24000);
    expect(heard.samples.size).toBe(1);
    const wired = wirePatch(patch, catalogue);
    expect(inputFigures(heard, wired, 'a', 'in')).toEqual(square);
    expect(inputFigures(heard, wired, 'a', 'cv')).toMatchObject({ least: 0, most: 0 });
  });
});
