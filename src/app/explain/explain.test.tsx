import { join } from 'node:path';
import { act, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { specs } from '../../blocks/specs.gen.ts';
import { symbols } from '../../blocks/symbols.gen.ts';
import { engineModuleFrom } from '../../engine/hosts/node.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { explain } from '../../insight/explain/explain.ts';
import { createHearing } from '../../insight/heard.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import { placeBlocks, renameBlock, setSetting } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import type { Answers } from '../answers/answers.ts';
import { type App, AppContext, type SketchHandle } from '../app.ts';
import { createApp } from '../createApp.ts';
import { Strip } from '../strip/Strip.tsx';

const patch: Patch = {
  seconds: 1,
  blocks: [
    { id: 'lfo1', type: 'lfo', label: 'Shiver', at: [0, 0], settings: { rate: 6 } },
    { id: 'att1', type: 'attenuverter', label: 'Little', at: [0, 0], settings: { gain: 0.004 } },
    { id: 'osc1', type: 'oscillator', label: 'Horn', at: [0, 0], settings: { tune: 220 } },
    { id: 'out1', type: 'output', label: 'Out', at: [0, 0] },
  ],
  cables: [
    { from: ['lfo1', 'sine'], to: ['att1', 'in'] },
    { from: ['att1', 'out'], to: ['osc1', 'pitch'] },
    { from: ['osc1', 'saw'], to: ['out1', 'left'] },
  ],
};
// Addresses are the page's here, not the file's.
const engine = engineModuleFrom(join(import.meta.dirname, '../../engine/runtime/engine.wasm'));
const hearing = createHearing((each, options) => renderTake(engine, specs, each, options), createCatalogue(specs));
const ask = vi.fn((about: Patch) => explain(hearing, about, {}));
/** Other parts of the page ask other things: those are left without an answer. */
const answers = {
  ask: (name: string, about: Patch) => (name === 'explain' ? Promise.resolve().then(() => ask(about)) : new Promise(() => undefined)),
} as unknown as Answers;

let app: App;
const shown: string[][] = [];
function show(open: Patch = patch): void {
  app = createApp({ specs, symbols, patch: open, answers });
  app.sketch.current = { show: (ids: readonly string[]) => void shown.push([...ids]) } as unknown as SketchHandle;
  render(
    <AppContext value={app}>
      <Strip />
    </AppContext>,
  );
}
const opener = () => screen.getByRole('button', { name: 'Explain this patch' });
const part = () => screen.getByRole('region', { name: 'Explain this patch' });
const lit = () => [...app.highlight.getState().blocks].sort();

beforeEach(() => {
  ask.mockClear();
  shown.length = 0;
});

describe('Explain this patch', () => {
  it('asks when it is opened, and tells sentences, constructions and what they rest on', async () => {
    show();
    expect(ask).not.toHaveBeenCalled();
    await userEvent.click(opener());
    expect(await within(part()).findByRole('button', { name: /^One oscillator sounds: Horn \(saw, 220\sHz, A3\)/ })).toBeInTheDocument();
    expect(within(part()).getByRole('heading', { name: 'Vibrato' })).toBeInTheDocument();
    expect(within(part()).getByText('Recognised by a rule of thumb.')).toBeInTheDocument();
    expect(within(part()).getByText(/heard in 1 s of the take.*rules of thumb/)).toBeInTheDocument();
    expect(within(part()).getByRole('list', { name: 'Movement' })).toBeInTheDocument();
    expect(ask).toHaveBeenCalledTimes(1);
  });

  it('what is pointed at or reached by keys lights up its blocks; a press keeps them lit and brings them into view', async () => {
    show();
    await userEvent.click(opener());
    const vibrato = await within(part()).findByRole('button', { name: 'Shiver' });
    await userEvent.hover(vibrato);
    expect(lit()).toEqual(['att1', 'lfo1', 'osc1']);
    expect([...app.highlight.getState().cables.keys()].sort()).toEqual(['att1.in', 'osc1.pitch']);
    await userEvent.unhover(vibrato);
    expect(lit()).toEqual([]);
    act(() => vibrato.focus());
    expect(lit()).toEqual(['att1', 'lfo1', 'osc1']);
    await userEvent.keyboard('{Enter}');
    act(() => vibrato.blur());
    expect(vibrato).toHaveAttribute('aria-pressed', 'true');
    expect(lit()).toEqual(['att1', 'lfo1', 'osc1']);
    expect(shown).toEqual([['lfo1', 'att1', 'osc1']]);
    expect(app.session.getState().selection.blocks.size).toBe(0);
    await userEvent.click(opener());
    expect(lit()).toEqual([]);
  });

  it('marks what an edit has made old, and asks again; a block that is only moved changes nothing', async () => {
    show();
    await userEvent.click(opener());
    await within(part()).findByText(/220\sHz/);
    const now = () => app.session.getState().patch;
    act(() => void app.session.run(placeBlocks(now(), app.catalogue, { places: new Map([['osc1', [160, 0]]]) })));
    expect(within(part()).queryByText(/before your last edit/)).toBeNull();
    act(() => void app.session.run(setSetting(now(), app.catalogue, { block: 'osc1', setting: 'tune', value: 440 })));
    expect(within(part()).getByText(/before your last edit/)).toBeInTheDocument();
    // The take goes first.
    await waitFor(() => expect(app.listening.getState().takeStatus).not.toBe('none'));
    expect(ask).toHaveBeenCalledTimes(1);
    act(() => app.listening.setState({ takeStatus: 'ready' }));
    await waitFor(() => expect(within(part()).getByText(/440\sHz, A4/)).toBeInTheDocument(), { timeout: 4000 });
    expect(within(part()).queryByText(/before your last edit/)).toBeNull();
    act(() => void app.session.run(renameBlock(now(), app.catalogue, { block: 'osc1', label: 'Foghorn' })));
    await waitFor(() => expect(within(part()).getByRole('button', { name: /Foghorn \(saw/ })).toBeInTheDocument(), { timeout: 4000 });
    expect(ask).toHaveBeenCalledTimes(3);
  });

  it('says why there is no answer, and waits for blocks where there are none', async () => {
    ask.mockImplementationOnce(() => {
      throw new Error('The patch is too big for the engine.');
    });
    show();
    await userEvent.click(opener());
    expect(await within(part()).findByText('The patch is too big for the engine.')).toBeInTheDocument();
    act(() => app.session.open({ blocks: [], cables: [] }));
    expect(within(part()).getByText(/as soon as it has blocks/)).toBeInTheDocument();
  });
});
