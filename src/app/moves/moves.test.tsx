import { join } from 'node:path';
import { act, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { specs } from '../../blocks/specs.gen.ts';
import { symbols } from '../../blocks/symbols.gen.ts';
import { engineModuleFrom } from '../../engine/hosts/node.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { createHearing } from '../../insight/heard.ts';
import { type MovesArgs, whatMoves } from '../../insight/moves/moves.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import { placeBlocks, setSetting } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import type { Answers } from '../answers/answers.ts';
import { type App, AppContext } from '../app.ts';
import { createApp } from '../createApp.ts';
import { Strip } from '../strip/Strip.tsx';

const patch: Patch = {
  seconds: 1,
  blocks: [
    { id: 'beam', type: 'lfo', label: 'Beam', settings: { rate: 1 } },
    { id: 'swell', type: 'lfo', label: 'Swell', settings: { rate: 3 } },
    { id: 'mix1', type: 'mixer', label: 'Sum', settings: { level1: 0.4, level2: 0.2 } },
    { id: 'flt1', type: 'filter', label: 'Fog', settings: { cutoff: 400 } },
  ],
  cables: [
    { from: ['beam', 'sine'], to: ['mix1', 'in1'] },
    { from: ['swell', 'sine'], to: ['mix1', 'in2'] },
    { from: ['mix1', 'sum'], to: ['flt1', 'cv'] },
  ],
};
// Addresses are the page's here, not the file's.
const engine = engineModuleFrom(join(import.meta.dirname, '../../engine/runtime/engine.wasm'));
const hearing = createHearing((each, options) => renderTake(engine, specs, each, options), createCatalogue(specs));
const ask = vi.fn(async (about: Patch, args: MovesArgs) => whatMoves(hearing, about, args));
/** Other parts of the page ask other things: those are left without an answer. */
const answers = {
  ask: (name: string, about: Patch, args: MovesArgs) => (name === 'moves' ? ask(about, args) : new Promise(() => undefined)),
} as unknown as Answers;

let app: App;
const lit = () => [...app.highlight.getState().cables];

beforeEach(() => {
  ask.mockClear();
  app = createApp({ specs, symbols, patch, answers });
  app.session.select(['flt1']);
  render(
    <AppContext value={app}>
      <Strip />
    </AppContext>,
  );
});

async function open(name = 'What moves Cutoff of Fog?') {
  await userEvent.click(screen.getByRole('button', { name }));
  return await screen.findByRole('list', { name: 'Sources by share' });
}

describe('"What moves this?" in the strip', () => {
  it('is there at a patched input and at the setting that it moves, and nowhere else', () => {
    const names = screen.getAllByRole('button', { name: /^What moves/ }).map((button) => button.getAttribute('aria-label'));
    expect(names).toEqual(['What moves Cutoff of Fog?', 'What moves the input Cutoff of Fog?']);
  });

  it('lists the sources with their shares and says it in a sentence', async () => {
    const list = await open();
    expect(
      within(list)
        .getAllByRole('button')
        .map((button) => button.textContent),
    ).toEqual(['ABeam67 %exact', 'BSwell33 %exact']);
    expect(screen.getByText(/67\s% of it comes from Beam, 33\s% from Swell/)).toBeInTheDocument();
    expect(screen.getByRole('img', { name: /Beam, 67 %; B Swell, 33 %/ })).toBeInTheDocument();
  });

  it('lights all ways by their shares, and by keys one alone; Escape puts it all away', async () => {
    const list = await open();
    const weights = new Map(lit());
    expect(weights.get('mix1.in1')).toBeCloseTo(2 / 3, 3);
    expect(weights.get('mix1.in2')).toBeCloseTo(1 / 3, 3);
    expect(weights.get('flt1.cv')).toBeCloseTo(1, 6);
    act(() => within(list).getByRole('button', { name: /Swell/ }).focus());
    expect(
      lit()
        .map(([name]) => name)
        .sort(),
    ).toEqual(['flt1.cv', 'mix1.in2']);
    expect([...app.highlight.getState().blocks].sort()).toEqual(['flt1', 'mix1', 'swell']);
    await userEvent.keyboard('{Escape}');
    expect(lit()).toEqual([]);
    expect(screen.queryByRole('list', { name: 'Sources by share' })).toBeNull();
    expect(document.activeElement).toBe(screen.getByRole('button', { name: 'What moves Cutoff of Fog?' }));
  });

  it('a press keeps a way lit', async () => {
    const list = await open();
    const swell = within(list).getByRole('button', { name: /Swell/ });
    await userEvent.click(swell);
    expect(swell).toHaveAttribute('aria-pressed', 'true');
    act(() => swell.blur());
    await userEvent.unhover(swell);
    expect(
      lit()
        .map(([name]) => name)
        .sort(),
    ).toEqual(['flt1.cv', 'mix1.in2']);
  });

  it('says that it is about the patch before an edit, and asks again with the next take', async () => {
    await open();
    // Where a block stands is not heard.
    act(() => void app.session.run(placeBlocks(app.session.getState().patch, app.catalogue, { places: new Map([['mix1', [80, 80]]]) })));
    expect(screen.queryByText(/before your last edit/)).toBeNull();
    act(
      () => void app.session.run(setSetting(app.session.getState().patch, app.catalogue, { block: 'mix1', setting: 'level2', value: 0.4 })),
    );
    expect(screen.getByText(/before your last edit/)).toBeInTheDocument();
    expect(ask).toHaveBeenCalledTimes(1);
    const take = { rate: 48000, frames: 0, left: new Float32Array(0), right: new Float32Array(0), taps: [] };
    await act(async () =>
      app.listening.setState({ take: take as unknown as NonNullable<ReturnType<App['listening']['getState']>['take']> }),
    );
    expect(ask).toHaveBeenCalledTimes(2);
    expect(await screen.findByText(/50\s% of it comes from/)).toBeInTheDocument();
    expect(screen.queryByText(/before your last edit/)).toBeNull();
  });

  it('says why there is no answer', async () => {
    ask.mockRejectedValueOnce(new Error('This patch needs 900 MB of sound memory.'));
    await userEvent.click(screen.getByRole('button', { name: 'What moves Cutoff of Fog?' }));
    expect(await screen.findByText('This patch needs 900 MB of sound memory.')).toBeInTheDocument();
  });
});
