import { act, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { describe, expect, it, vi } from 'vitest';
import { specs } from '../../blocks/specs.gen.ts';
import { symbols } from '../../blocks/symbols.gen.ts';
import type { TakesListener } from '../../engine/hosts/takes.ts';
import type { Finding } from '../../insight/finding.ts';
import type { Silence } from '../../insight/silent/index.ts';
import { setSetting } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import { undoLabel } from '../../patch/history.ts';
import type { Answers } from '../answers/answers.ts';
import { AppContext } from '../app.ts';
import { createApp } from '../createApp.ts';
import { SilenceNote } from './SilenceNote.tsx';

/** The swell reaches the bellows, but turned down to nothing: the drawing alone does not show it. */
const turnedDown: Patch = {
  seconds: 0.5,
  blocks: [
    { id: 'osc1', type: 'oscillator', label: 'Horn' },
    { id: 'lfo1', type: 'lfo', label: 'Swell', settings: { range: 'unipolar', rate: 2 } },
    { id: 'amp1', type: 'vca', label: 'Bellows', settings: { cvAmount: -1 } },
    { id: 'out1', type: 'output', label: 'Out' },
  ],
  cables: [
    { from: ['osc1', 'saw'], to: ['amp1', 'in'] },
    { from: ['lfo1', 'triangle'], to: ['amp1', 'cv'] },
    { from: ['amp1', 'out'], to: ['out1', 'left'] },
  ],
};

const closed: Finding = {
  id: 'cv-negative',
  severity: 'error',
  block: 'amp1',
  place: ['amp1', 'cvAmount'],
  say: 'Bellows stays closed, as "CV amount" is at -1.',
  fix: { label: 'Set "CV amount" of Bellows to 1', changes: [{ set: ['amp1', 'cvAmount'], value: 1 }] },
};
const because = (...findings: Finding[]): Silence => ({ silent: true, level: undefined, seconds: 0.5, findings, tried: true });

/** The page with takes that sound as soon as Bellows opens; the answer comes when `answer` is called. */
function show(patch: Patch, reason: Silence = because(closed)) {
  const waiting: (() => void)[] = [];
  const takes = vi.fn();
  const answers: Answers = { ask: () => new Promise((resolve) => void waiting.push(() => resolve(reason as never))) };
  const app = createApp({
    specs,
    symbols,
    patch,
    answers,
    sound: {
      openLive: () => Promise.reject(new Error('no sound card')),
      openTakes: (listener: TakesListener) => ({
        render({ patch: each, seconds }) {
          takes();
          const { cvAmount = 1, level = 0 } = each.blocks.find(({ id }) => id === 'amp1')?.settings ?? {};
          const open = Number(cvAmount) > 0 || Number(level) > 0 ? 0.5 : 0;
          const side = Float32Array.from({ length: 24000 }, (_, i) => open * Math.sin(i / 10));
          listener.done({ left: side, right: side, rate: 48000, seconds, taps: [], faults: [], realtimeRatio: 100 } as never);
        },
        cancel: () => undefined,
      }),
    },
  });
  render(
    <AppContext value={app}>
      <SilenceNote />
    </AppContext>,
  );
  act(() => app.listening.renderTake());
  const note = within(screen.getByRole('status'));
  return { app, note, takes, waiting, answer: () => act(async () => waiting.splice(0).forEach((go) => void go())) };
}

describe('the note on a silent take', () => {
  it('says that it looks, then the reason, and mends it as one undo step, after which the take is rendered again', async () => {
    const { app, note, takes, answer } = show(turnedDown);
    expect(note.getByText(/Looking for the reason/)).toBeInTheDocument();
    await answer();
    expect(note.getByText(/Bellows stays closed/)).toBeInTheDocument();
    expect(note.getByText('Tried: it sounds with this.')).toBeInTheDocument();
    await waitFor(() => expect(app.marks.getState().marks.get('amp1')?.severity).toBe('error'));
    expect(takes).toHaveBeenCalledTimes(1);
    await userEvent.click(note.getByRole('button', { name: 'Set "CV amount" of Bellows to 1' }));
    expect(app.session.getState().patch.blocks[2]?.settings?.cvAmount).toBeUndefined();
    expect(undoLabel(app.session.getState().history)).toBe('Set "CV amount" of Bellows to 1');
    await waitFor(() => expect(takes).toHaveBeenCalledTimes(2));
    expect(note.queryByText(/Bellows/)).toBeNull();
    expect(app.silence.getState()).toEqual({ asking: false, answer: undefined });
    act(() => app.session.undo());
    expect(app.session.getState().patch).toEqual(turnedDown);
  });

  it('forgets an answer that an edit overtook', async () => {
    const { app, note, answer } = show(turnedDown);
    act(() => void app.session.run(setSetting(turnedDown, app.catalogue, { block: 'amp1', setting: 'level', value: 0.5 })));
    await answer();
    expect(note.queryByText(/stays closed/)).toBeNull();
    expect(app.silence.getState().answer).toBeUndefined();
  });

  it('keeps the answer while a block is only moved on the sketch', async () => {
    const { app, note, answer } = show(turnedDown);
    await answer();
    const blocks = turnedDown.blocks.map((block) => ({ ...block, at: [16, 16] as const }));
    act(
      () =>
        void app.session.run({
          label: 'Move',
          blocks: { added: [], removed: [], updated: turnedDown.blocks.map((block, i) => [block, blocks[i] ?? block] as const) },
        }),
    );
    expect(note.getByText(/Bellows stays closed/)).toBeInTheDocument();
  });

  it('says nothing of a take that sounds', () => {
    const sounding = turnedDown.blocks.map((block) => (block.id === 'amp1' ? { ...block, settings: { level: 1 } } : block));
    const { note, waiting } = show({ ...turnedDown, blocks: sounding });
    expect(waiting).toEqual([]);
    expect(note.queryByText(/./)).toBeNull();
  });

  it('says how many edits it takes', async () => {
    const { note, answer } = show(turnedDown, because(closed, { ...closed, block: 'out1' }));
    await answer();
    expect(note.getByText('Tried: it sounds after this and 1 more.')).toBeInTheDocument();
  });

  it('leaves out what only a take lacks, while somebody plays', async () => {
    const { app, note, answer } = show(
      turnedDown,
      because({ id: 'no-notes', severity: 'hint', block: 'amp1', say: 'Nothing plays Window in a take.' }),
    );
    await answer();
    expect(note.getByText(/nothing plays Window/)).toBeInTheDocument();
    expect(note.queryByText(/Tried/)).toBeNull();
    act(() => app.listening.setState({ sound: 'on' }));
    expect(note.queryByText(/Window/)).toBeNull();
  });
});
