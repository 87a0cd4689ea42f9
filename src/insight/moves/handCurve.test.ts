// @vitest-environment node
import { expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import type { Patch } from '../../patch/document.ts';
import { handCurve } from './handCurve.ts';

it('a hand is read as the engine plays it: an offset that is moved, rendered and computed, on every frame', () => {
  const points = [
    [0.01, 2],
    [0.02, 6],
    [0.02, -4],
    [0.05, -4],
    [0.0701, 3.3],
  ] as const;
  const patch: Patch = {
    blocks: [{ id: 'a', type: 'attenuverter', settings: { gain: 0, offset: 1 } }],
    cables: [],
    moves: [{ block: 'a', setting: 'offset', points }],
  };
  const { taps } = renderTake(engineModule(), specs, patch, { seconds: 0.1, taps: [{ at: ['a', 'out'] }] });
  const curve = handCurve(1, points, 48000);
  const worst = (taps[0] as Float32Array).reduce((most, volts, i) => Math.max(most, Math.abs(volts - curve(i))), 0);
  expect(worst).toBeLessThan(1e-5);
  expect(curve(0)).toBe(1);
});
