import { act } from '@testing-library/react';
import { expect, it } from 'vitest';
import { renderIn, smallApp } from '../../../tests/support/smallApp.tsx';
import type { Patch } from '../../patch/document.ts';
import { nothingHighlighted } from '../store/highlight.ts';
import { Sketch } from './Sketch.tsx';

const patch: Patch = {
  blocks: [
    { id: 'osc1', type: 'oscillator', label: 'Horn', at: [0, 0] },
    { id: 'amp1', type: 'vca', label: 'Gate', at: [200, 0] },
    { id: 'out1', type: 'output', label: 'Quay', at: [400, 0] },
  ],
  cables: [
    { from: ['osc1', 'sine'], to: ['amp1', 'in'] },
    { from: ['amp1', 'out'], to: ['out1', 'left'] },
  ],
};

const cable = (name: string) => document.querySelector<SVGElement>(`[data-cable="${name}"]`);
const width = (name: string) => Number.parseFloat(cable(name)?.querySelector<SVGElement>('.cable-band')?.style.strokeWidth ?? '');

it('what an answer points at is marked by more than colour: wider bands for more weight, frames, and all else steps back', async () => {
  const app = smallApp(patch);
  renderIn(app, <Sketch />);
  await act(async () => {});
  const sketch = document.querySelector<HTMLElement>('.sketch');
  expect(sketch?.dataset.lit).toBeUndefined();
  act(() => app.highlight.setState({ blocks: new Set(['osc1']), cables: new Map([['amp1.in', 0.25]]) }));
  expect(sketch?.dataset.lit).toBe('true');
  expect(cable('amp1.in')?.dataset.lit).toBe('true');
  expect(cable('out1.left')?.dataset.lit).toBe('false');
  expect(cable('out1.left')?.querySelector('.cable-band')).toBeNull();
  expect(document.querySelectorAll('.block[data-lit="true"]')).toHaveLength(1);
  const before = width('amp1.in');
  act(() => app.highlight.setState({ cables: new Map([['amp1.in', 1]]) }));
  expect(width('amp1.in')).toBeGreaterThan(before);
  act(() => app.highlight.setState(nothingHighlighted));
  expect(sketch?.dataset.lit).toBeUndefined();
  expect(document.querySelectorAll('.block[data-lit="true"], .cable-band')).toHaveLength(0);
});
