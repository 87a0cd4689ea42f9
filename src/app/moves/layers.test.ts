// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { createHearing } from '../../insight/heard.ts';
import { whatMoves } from '../../insight/moves/moves.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import { layersOf } from './layers.ts';

const hearing = createHearing((patch, options) => renderTake(engineModule(), specs, patch, options), createCatalogue(specs));
const two = (rate: number): Patch => ({
  seconds: 1,
  blocks: [
    { id: 'a', type: 'lfo', settings: { rate: 2 } },
    { id: 'b', type: 'lfo', settings: { rate } },
    { id: 'm', type: 'mixer' },
    { id: 'v', type: 'vca' },
  ],
  cables: [
    { from: ['a', 'sine'], to: ['m', 'in1'] },
    { from: ['b', 'triangle'], to: ['m', 'in2'] },
    { from: ['m', 'sum'], to: ['v', 'cv'] },
  ],
});
const answerOf = (patch: Patch) => whatMoves(hearing, patch, { at: ['v', 'cv'], side: 'input' });

describe('the drawing of shares', () => {
  it('stacks slow shares: no band is negative, each lies on the one before, the last ends at the whole', () => {
    const answer = answerOf(two(3));
    const { kind, bands } = layersOf(answer);
    expect(kind).toBe('stack');
    expect(bands.map(({ key }) => key).sort()).toEqual(['a', 'b']);
    for (const { low, high } of bands) for (const [c, volts] of low.entries()) expect(high[c]).toBeGreaterThanOrEqual(volts);
    expect(bands[1]?.low).toEqual(bands[0]?.high);
    for (const [c, mean] of answer.total.columns.mean.entries()) expect(bands[1]?.high[c]).toBeCloseTo(mean, 5);
  });

  it('gives each its own row where one moves at audio rate: means of columns would hide it', () => {
    const { kind, bands, least, most } = layersOf(answerOf(two(100)));
    expect(kind).toBe('rows');
    const fast = bands.find(({ key }) => key === 'b');
    expect((fast?.high[100] ?? 0) - (fast?.low[100] ?? 0)).toBeGreaterThan(3);
    expect([least, most]).toEqual([expect.any(Number), expect.any(Number)]);
    expect(most).toBeLessThanOrEqual(10);
  });
});
