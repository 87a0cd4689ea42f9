import { render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { describe, expect, it, vi } from 'vitest';
import { specs } from '../../blocks/specs.gen.ts';
import { symbols } from '../../blocks/symbols.gen.ts';
import { findings } from '../../insight/findings.ts';
import { connect, setSetting } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import { type App, AppContext, type SketchHandle } from '../app.ts';
import { createApp } from '../createApp.ts';
import { Findings } from './Findings.tsx';
import { FindingsButton } from './FindingsButton.tsx';
import { SilenceNote } from './SilenceNote.tsx';

/** An amplifier that rests closed, and a second oscillator that nobody hears. */
const closed: Patch = {
  blocks: [
    { id: 'osc1', type: 'oscillator' },
    { id: 'amp1', type: 'vca', label: 'Open A', settings: { level: 0 } },
    { id: 'osc2', type: 'oscillator', label: 'Spare', settings: { tune: 220 } },
    { id: 'out1', type: 'output' },
  ],
  cables: [
    { from: ['osc1', 'saw'], to: ['amp1', 'in'] },
    { from: ['amp1', 'out'], to: ['out1', 'left'] },
  ],
};

function show(patch: Patch): App & { readonly revealed: string[][] } {
  const app = createApp({ specs, symbols, patch });
  const revealed: string[][] = [];
  const handle: Partial<SketchHandle> = { reveal: (blocks) => void revealed.push([...blocks]) };
  app.sketch.current = handle as SketchHandle;
  render(
    <AppContext value={app}>
      <SilenceNote />
      <Findings />
      <FindingsButton />
    </AppContext>,
  );
  return Object.assign(app, { revealed });
}

describe('findings', () => {
  it('are listed worst first, with a word for how grave they are, and lead to their block', async () => {
    const app = show(closed);
    const entry = await screen.findByRole('button', { name: /Hint:? ?No cable leads from Spare/ }, { timeout: 5000 });
    expect(screen.getByRole('heading', { name: 'Findings 1 error, 1 hint' })).toBeInTheDocument();
    const list = screen.getByRole('region', { name: 'Findings' });
    expect([...list.querySelectorAll('li')].map((item) => item.textContent?.split(':')[0])).toEqual(['Error', 'Hint']);
    await userEvent.click(entry);
    expect(app.revealed).toEqual([['osc2']]);
  });

  it('are pinned to the blocks, and taken off when they are mended', async () => {
    const app = show(closed);
    await waitFor(() => expect([...app.marks.getState().marks.keys()].sort()).toEqual(['amp1', 'osc2']));
    expect(app.marks.getState().marks.get('osc2')?.severity).toBe('note');
    const spare = app.marks.getState().marks.get('osc2');
    app.session.run(setSetting(app.session.getState().patch, app.catalogue, { block: 'amp1', setting: 'level', value: 1 }));
    await waitFor(() => expect(app.marks.getState().marks.get('amp1')?.severity).toBe('note'));
    expect(app.marks.getState().marks.get('osc2')).toBe(spare);
    app.session.run(connect(app.session.getState().patch, app.catalogue, { from: ['osc2', 'sine'], to: ['amp1', 'cv'] }));
    await waitFor(() => expect(screen.getByText('Nothing is amiss in the drawing.')).toBeInTheDocument());
    expect(app.marks.getState().marks.size).toBe(0);
    expect(screen.queryByRole('button', { name: /Show the findings/ })).toBeNull();
  });

  it('wait until the hand rests and the page is idle', async () => {
    const app = show(closed);
    await screen.findByRole('heading', { name: 'Findings 1 error, 1 hint' });
    const heard = vi.fn();
    app.checks.subscribe(heard);
    for (let i = 1; i <= 20; i++)
      app.session.run(setSetting(app.session.getState().patch, app.catalogue, { block: 'amp1', setting: 'level', value: i / 20 }), {
        gesture: 'g',
      });
    expect(heard).not.toHaveBeenCalled();
    await waitFor(() => expect(heard).toHaveBeenCalledTimes(1));
  });

  it('take little time for 300 blocks', () => {
    const app = createApp({ specs, symbols });
    const blocks = Array.from({ length: 300 }, (_, i) => ({ id: `amp${i}`, type: i === 299 ? 'output' : 'vca' }));
    const cables = blocks.slice(1).map(({ id, type }, i) => ({
      from: [`amp${i}`, 'out'] as const,
      to: [id, type === 'output' ? 'left' : 'in'] as const,
    }));
    const start = performance.now();
    expect(findings({ blocks, cables }, app.catalogue).length).toBeGreaterThan(100);
    // One idle moment of a slow machine; it is far below that on any present one.
    expect(performance.now() - start).toBeLessThan(400);
  });
});

describe('the note on silence', () => {
  it('says why in one sentence, leads to the block and can be put away until the reason changes', async () => {
    const app = show(closed);
    await userEvent.click(await within(screen.getByRole('status')).findByRole('button', { name: /Open A is silent/ }));
    expect(app.revealed).toEqual([['amp1']]);
    await userEvent.click(screen.getByRole('button', { name: 'Put the note away' }));
    expect(screen.queryByText(/Open A is silent/, { selector: '.silence *' })).toBeNull();
    app.session.open({ blocks: [{ id: 'osc1', type: 'oscillator' }], cables: [] });
    expect(await screen.findByText(/no output/, { selector: '.silence *' })).toBeInTheDocument();
  });

  it('stays away while something is heard or nothing is drawn', async () => {
    const app = show({
      ...closed,
      blocks: closed.blocks.map((block) => (block.id === 'amp1' ? { ...block, settings: { level: 1 } } : block)),
    });
    await screen.findByRole('heading', { name: 'Findings 2 hints' });
    expect(document.querySelector('.silence')).toBeNull();
    app.session.open({ blocks: [], cables: [] });
    await screen.findByText(/as soon as it has blocks/);
    expect(document.querySelector('.silence')).toBeNull();
  });
});
