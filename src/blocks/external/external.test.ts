// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { runPatch } from '../../../tests/support/runPatch.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { renderTake } from '../../engine/hosts/take.ts';

const patch = (gain: number) => ({ blocks: [{ id: 'in', type: 'external', settings: { gain } }], cables: [] });

/** The block's outputs over two chunks, with these samples in the host's two live signals. */
function hear(gain: number, left: number, right: number, events: Parameters<typeof runPatch>[1]['events'] = []) {
  const { engine, plan } = runPatch(patch(gain), { frames: 1, outputs: ['in.left', 'in.right'], events });
  for (const [side, x] of [left, right].entries()) engine.signal(engine.exports.liveInput(side)).fill(x);
  engine.exports.runFrames(128);
  return ['in.left', 'in.right'].map((name) => engine.signal(plan.signals.get(name) as number).slice());
}

describe('the live input', () => {
  it.each([
    [0, 0.5, 5],
    [-20, 0.5, 0.5],
    [20, 0.05, 5],
    [40, 0.01, 10],
  ])('at %f dB turns %f of full scale into %f V', (gain, sample, volts) => {
    const [left, right] = hear(gain, sample, -sample);
    expect(left![100]).toBeCloseTo(volts, 5);
    expect(right![100]).toBeCloseTo(-volts, 5);
  });

  it('keeps within the rails', () => {
    const [left, right] = hear(40, 1, -1);
    expect(left!.every((volts) => volts === 12)).toBe(true);
    expect(right!.every((volts) => volts === -12)).toBe(true);
  });

  it('glides where the gain moves', () => {
    const [left] = hear(0, 0.05, 0.05, [{ block: 'in', frame: 0, setting: 'gain', value: 20, glide: 240 }]);
    const steps = [...left!].map((volts, n) => volts - (left![n - 1] ?? volts));
    // 128 of 240 frames on the way, straight in dB.
    expect(left![127]).toBeCloseTo(0.5 * 10 ** ((20 * 128) / 240 / 20), 2);
    expect(Math.max(...steps)).toBeLessThan(0.02);
    expect(Math.min(...steps)).toBeGreaterThanOrEqual(0);
  });

  it('is silent in a take', () => {
    const heard = renderTake(
      engineModule(),
      specs,
      { blocks: [...patch(40).blocks, { id: 'out', type: 'output' }], cables: [{ from: ['in', 'left'], to: ['out', 'left'] }] },
      { seconds: 0.1 },
    );
    expect(heard.left.every((x) => x === 0)).toBe(true);
  });
});
