import { render, screen, waitFor } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { describe, expect, it } from 'vitest';
import { specs } from '../../blocks/specs.gen.ts';
import { symbols } from '../../blocks/symbols.gen.ts';
import type { TakeDone, TakesListener } from '../../engine/hosts/takes.ts';
import type { Finding } from '../../insight/finding.ts';
import { placeBlocks, renameBlock, setSetting } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import type { Answers } from '../answers/answers.ts';
import { type App, AppContext } from '../app.ts';
import { createApp } from '../createApp.ts';
import { Findings } from './Findings.tsx';

const tone: Patch = {
  blocks: [
    { id: 'osc1', type: 'oscillator', label: 'Horn' },
    { id: 'out1', type: 'output' },
  ],
  cables: [{ from: ['osc1', 'saw'], to: ['out1', 'left'] }],
};
const loud: Finding = { id: 'very-loud', severity: 'hint', block: 'out1', say: 'The take is very loud: -6 LUFS.' };

interface Asked {
  readonly name: string;
  readonly patch: Patch;
  readonly args: unknown;
  readonly answer: (answer: unknown) => void;
  readonly refuse: (error: Error) => void;
}

/** The page with a take renderer and an answering worker that do what the test says. */
async function show(patch: Patch = tone) {
  const asked: Asked[] = [];
  let takes: TakesListener | undefined;
  const answers: Answers = {
    ask: (name, of, args) =>
      new Promise((answer, refuse) => asked.push({ name, patch: of, args, answer: answer as Asked['answer'], refuse })),
  };
  const app = createApp({
    specs,
    symbols,
    answers,
    demos: () => [patch],
    sound: {
      openLive: () => Promise.reject(new Error('no sound')),
      openTakes: (listener) => {
        takes = listener;
        return { render: () => undefined, cancel: () => undefined };
      },
    },
  });
  render(
    <AppContext value={app}>
      <Findings />
    </AppContext>,
  );
  await app.notebook.start();
  app.listening.renderTake();
  const wave = new Float32Array(480).fill(0.5);
  const done = {
    type: 'done',
    number: 1,
    rate: 48000,
    left: wave,
    right: wave,
    taps: [],
    faults: [],
    seconds: 0.01,
  } as unknown as TakeDone;
  return { app, take: () => takes?.done({ ...done }), checks: () => asked.filter(({ name }) => name === 'checks'), asked };
}

const level = (app: App, value: number) =>
  setSetting(app.session.getState().patch, app.catalogue, { block: 'out1', setting: 'level', value });

describe('what is found in the take', () => {
  it('is looked for once a take is there, listed and pinned', async () => {
    const { app, take, checks } = await show();
    expect(checks()).toHaveLength(0);
    take();
    await waitFor(() => expect(checks()).toHaveLength(1));
    expect(checks()[0]).toMatchObject({ patch: tone, args: { seconds: 12 } });
    expect(screen.getByText('Looking at the take...')).toBeInTheDocument();
    checks()[0]?.answer([loud]);
    expect(await screen.findByRole('button', { name: /^Hint:? ?The take is very loud/ }, { timeout: 5000 })).toBeInTheDocument();
    expect(app.marks.getState().marks.get('out1')?.say).toBe(loud.say);
  });

  it('is never shown for a newer patch', async () => {
    const { app, take, checks } = await show();
    take();
    await waitFor(() => expect(checks()).toHaveLength(1));
    app.session.run(level(app, -20));
    checks()[0]?.answer([loud]);
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect(app.takeChecks.getState().findings).toBeUndefined();
    take();
    await waitFor(() => expect(checks()).toHaveLength(2));
    checks()[1]?.answer([loud]);
    await screen.findByRole('button', { name: /^Hint:? ?The take is very loud/ });
    app.session.run(level(app, -30));
    // at once, not when the page finds the time
    expect(app.checks.getState().findings).toEqual([]);
    expect(app.marks.getState().marks.size).toBe(0);
    await waitFor(() => expect(screen.queryByText(loud.say)).toBeNull());
  });

  it('stays while a block is moved about, and is asked anew where a name in it may have changed', async () => {
    const { app, take, checks } = await show();
    take();
    await waitFor(() => expect(checks()).toHaveLength(1));
    checks()[0]?.answer([loud]);
    await screen.findByRole('button', { name: /^Hint:? ?The take is very loud/ });
    app.session.run(placeBlocks(app.session.getState().patch, app.catalogue, { places: new Map([['out1', [99, 99]]]) }));
    expect(app.takeChecks.getState().findings).toEqual([loud]);
    app.session.run(renameBlock(app.session.getState().patch, app.catalogue, { block: 'osc1', label: 'Fog horn' }));
    expect(app.takeChecks.getState().findings).toBeUndefined();
    await waitFor(() => expect(checks()).toHaveLength(2), { timeout: 2000 });
  });

  it('leaves long takes alone', async () => {
    const { app, take, checks } = await show({ ...tone, seconds: 600 });
    take();
    await new Promise((resolve) => setTimeout(resolve, 120));
    expect(checks()).toHaveLength(0);
    expect(app.takeChecks.getState()).toEqual({ looking: false, findings: undefined });
  });
});

describe('a finding', () => {
  const spare: Patch = { ...tone, blocks: [...tone.blocks, { id: 'lfo1', type: 'lfo', label: 'Tide' }] };

  it('can be silenced with a note, is folded away, and can be brought back', async () => {
    const { app } = await show(spare);
    await userEvent.click(await screen.findByRole('button', { name: /^More about: No cable leads from Tide/ }));
    expect(screen.getByText(/Run a cable on from it, or take it away\./, { selector: '.finding-about *' })).toBeInTheDocument();
    await userEvent.type(screen.getByRole('textbox', { name: /Why it may stay so/ }), 'For the next lesson{Enter}');
    await waitFor(() => expect(screen.getByText('Nothing is amiss in the drawing.')).toBeInTheDocument());
    expect(app.marks.getState().marks.size).toBe(0);
    expect(app.session.getState().patch).toEqual(spare);
    await userEvent.click(screen.getByText('1 silenced'));
    expect(screen.getByText('Note: For the next lesson')).toBeInTheDocument();
    await userEvent.click(screen.getByRole('button', { name: /^Bring back: No cable leads from Tide/ }));
    expect(await screen.findByRole('heading', { name: 'Findings 1 hint' })).toBeInTheDocument();
    expect(screen.queryByText('1 silenced')).toBeNull();
  });

  it('of many shows the gravest, and folds the other hints away', async () => {
    const spares = Array.from({ length: 12 }, (_, i) => ({ id: `lfo${i}`, type: 'lfo', settings: { rate: i + 1 } }));
    await show({ ...tone, blocks: [...tone.blocks, ...spares] });
    const fold = await screen.findByText('6 more hints', undefined, { timeout: 5000 });
    expect(document.querySelectorAll('.findings > ul > li')).toHaveLength(6);
    expect(fold.closest('details')?.open).toBe(false);
  });

  it('that one edit mends offers it, as one undo step', async () => {
    const right: Patch = { ...tone, cables: [{ from: ['osc1', 'saw'], to: ['out1', 'right'] }] };
    const { app } = await show(right);
    await userEvent.click(await screen.findByRole('button', { name: 'Patch both sides' }));
    await waitFor(() => expect(screen.getByText('Nothing is amiss in the drawing.')).toBeInTheDocument());
    app.session.undo();
    expect(app.session.getState().patch).toEqual(right);
  });
});

describe('questions about the take', () => {
  it('are asked by a button and answered with a measured figure and likely reasons', async () => {
    const { app, asked } = await show();
    await userEvent.click(await screen.findByRole('button', { name: 'Why is it so loud?' }));
    expect(screen.getByText('Listening to the take...')).toBeInTheDocument();
    expect(asked.at(-1)).toMatchObject({ name: 'reasons', args: { complaint: 'loud' } });
    const reason: Finding = { id: 'adds-level', severity: 'hint', block: 'out1', say: 'Output adds 5 dB to all that reaches it.' };
    asked.at(-1)?.answer({ complaint: 'loud', say: 'Measured: -6 LUFS.', findings: [reason] });
    expect((await screen.findByText('Measured: -6 LUFS.')).closest('[aria-live=polite]')).not.toBeNull();
    expect(screen.getByRole('button', { name: /Output adds 5 dB/ })).toBeInTheDocument();
    expect([...app.highlight.getState().blocks]).toEqual(['out1']);
    app.session.run(level(app, -20));
    await waitFor(() => expect(screen.queryByText('Measured: -6 LUFS.')).toBeNull());
    expect(app.highlight.getState().blocks.size).toBe(0);
  });

  it('say why there is no answer', async () => {
    const { asked } = await show();
    await userEvent.click(await screen.findByRole('button', { name: 'Why is it so off the beat?' }));
    asked.at(-1)?.refuse(new Error('The patch is too big.'));
    expect(await screen.findByText('The patch is too big.')).toBeInTheDocument();
    await userEvent.click(screen.getByRole('button', { name: 'Put the answer away' }));
    expect(screen.queryByText('The patch is too big.')).toBeNull();
  });
});

it('all that is looked for can be read', async () => {
  await show();
  const summary = await screen.findByText(/^All \d+ things that are looked for$/);
  const fold = summary.closest('details') as HTMLDetailsElement;
  expect(fold.querySelectorAll('li')).toHaveLength(0);
  await userEvent.click(summary);
  await waitFor(() => expect(fold.querySelectorAll('li').length).toBeGreaterThan(30));
});
