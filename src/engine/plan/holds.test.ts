// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import type { Patch, Place } from '../../patch/document.ts';
import { renderTake } from '../hosts/take.ts';

const take = (patch: Patch, at: readonly Place[], holds?: ReadonlyMap<string, number>) =>
  renderTake(engineModule(), specs, patch, { seconds: 0.2, taps: at.map((place) => ({ at: place })), ...(holds && { holds }) });

const block = (id: string, type: string, settings = {}) => ({ id, type, settings });

describe('an input that is held', () => {
  const patch: Patch = {
    blocks: [block('l', 'lfo', { rate: 20 }), block('n', 'noise'), block('m', 'mixer')],
    cables: [
      { from: ['l', 'square'], to: ['m', 'in1'] },
      { from: ['n', 'white'], to: ['m', 'in2'] },
    ],
  };

  it('reads the same volts all the time, while the source of its cable and all others go on to the bit', () => {
    const places: Place[] = [
      ['l', 'square'],
      ['n', 'white'],
      ['m', 'sum'],
    ];
    const free = take(patch, places).taps as Float32Array[];
    const held = take(patch, places, new Map([['m.in1', 3]])).taps as Float32Array[];
    expect(held[0]).toEqual(free[0]);
    expect(held[1]).toEqual(free[1]);
    expect(held[2]).toEqual((free[1] as Float32Array).map((volts) => Math.fround(volts + 3)));
  });

  it('leaves the order of a loop as it is: the delay of one frame stays where it was', () => {
    const ring: Patch = {
      blocks: [
        block('a', 'mixer'),
        block('b', 'attenuverter', { gain: 0.5 }),
        block('c', 'mixer'),
        block('v', 'attenuverter', { gain: 0.25 }),
      ],
      cables: [
        { from: ['v', 'out'], to: ['a', 'in2'] },
        { from: ['c', 'sum'], to: ['a', 'in1'] },
        { from: ['a', 'sum'], to: ['b', 'in'] },
        { from: ['b', 'out'], to: ['c', 'in1'] },
      ],
    };
    // a is 2 V at frame 0, 2 + 1 at frame 1, 2 + 1.5 at frame 2...: a geometric series with ratio 1/2, one step per frame.
    const { taps } = take(ring, [['a', 'sum']]);
    expect([...(taps[0] as Float32Array).subarray(0, 4)]).toEqual([2, 3, 3.5, 3.75]);
    const { taps: held } = take(
      ring,
      [
        ['a', 'sum'],
        ['c', 'sum'],
      ],
      new Map([
        ['a.in2', 0],
        ['a.in1', 1],
      ]),
    );
    expect((held[0] as Float32Array).every((volts) => volts === 1)).toBe(true);
    expect((held[1] as Float32Array).every((volts) => volts === 0.5)).toBe(true);
  });
});
