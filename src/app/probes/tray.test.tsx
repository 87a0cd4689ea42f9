import { act, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { RATE, signal, sine } from '../../../tests/support/probeDrawing.ts';
import { recordingCanvas } from '../../../tests/support/recordingCanvas.ts';
import { renderIn, smallApp } from '../../../tests/support/smallApp.tsx';
import type { Patch, Place } from '../../patch/document.ts';
import type { App } from '../app.ts';
import { Tray } from './Tray.tsx';

const patch: Patch = {
  seconds: 2,
  blocks: [
    { id: 'osc1', type: 'oscillator' },
    { id: 'lfo1', type: 'lfo' },
    { id: 'amp1', type: 'vca' },
  ],
  cables: [
    { from: ['osc1', 'sine'], to: ['amp1', 'in'] },
    { from: ['lfo1', 'square'], to: ['lfo1', 'reset'] },
  ],
  probes: [{ at: ['osc1', 'sine'] }, { at: ['lfo1', 'triangle'] }, { at: ['lfo1', 'square'] }],
};

/** What the take holds: A4, a slow triangle, a gate twice a second. */
const signals: readonly (readonly [Place, Float32Array])[] = [
  [['osc1', 'sine'], signal(2, sine(440))],
  [['lfo1', 'triangle'], signal(2, (t) => 4 * t - 4)],
  [['lfo1', 'square'], signal(2, (t) => (t % 0.5 < 0.25 ? 8 : 0))],
];

function bringTake({ probes }: App): void {
  probes.take(
    signals.map(([at, samples]) => {
      const parts = Array.from({ length: Math.ceil(samples.length / 512) }, (_, i) => samples.subarray(512 * i, 512 * i + 512));
      const least = Float32Array.from(parts, (part) => Math.min(...part));
      const greatest = Float32Array.from(parts, (part) => Math.max(...part));
      return {
        at,
        take: { rate: RATE, frames: samples.length, peaks: { least, greatest, frames: 512 }, window: { from: 0, samples }, step: 'fresh' },
      };
    }),
  );
}

const getContext = HTMLCanvasElement.prototype.getContext;
beforeEach(() => {
  const { context } = recordingCanvas();
  HTMLCanvasElement.prototype.getContext = (() => context) as unknown as typeof getContext;
  Object.defineProperty(HTMLElement.prototype, 'clientWidth', { configurable: true, get: () => 1064 });
  Object.defineProperty(HTMLElement.prototype, 'clientHeight', { configurable: true, get: () => 320 });
});
afterEach(() => {
  HTMLCanvasElement.prototype.getContext = getContext;
  Reflect.deleteProperty(HTMLElement.prototype, 'clientWidth');
  Reflect.deleteProperty(HTMLElement.prototype, 'clientHeight');
});

function open(): { app: App; bar: ReturnType<typeof within>; user: ReturnType<typeof userEvent.setup> } {
  const app = smallApp(patch);
  renderIn(app, <Tray />);
  act(() => bringTake(app));
  return { app, bar: within(screen.getByRole('toolbar', { name: 'Scope' })), user: userEvent.setup() };
}

describe('the tray of the probes', () => {
  it('offers every picture by its name, one of them at a time', async () => {
    const { bar, user } = open();
    const pictures = within(bar.getByRole('group', { name: 'Picture' }));
    expect(pictures.getAllByRole('button').map((button) => button.textContent)).toEqual([
      'Wave',
      'X-Y',
      'Spectrum',
      'Spectrogram',
      'Gates',
      'Notes',
      'Figures',
    ]);
    await user.click(pictures.getByRole('button', { name: 'Spectrum' }));
    expect(pictures.getAllByRole('button', { pressed: true }).map((button) => button.textContent)).toEqual(['Spectrum']);
    expect(screen.getByRole('img', { name: /^Spectra of/ })).toBeInTheDocument();
  });

  it('offers persistence with a trigger, and probes for X-Y', async () => {
    const { bar, user } = open();
    expect(bar.queryByRole('combobox', { name: 'Persistence' })).toBeNull();
    await user.selectOptions(bar.getByRole('combobox', { name: 'Trigger' }), 'lfo1.square');
    await user.selectOptions(bar.getByRole('combobox', { name: 'Persistence' }), '1 s');
    expect(bar.getByRole('combobox', { name: 'Persistence' })).toHaveDisplayValue('1 s');
    await user.click(bar.getByRole('button', { name: 'X-Y' }));
    expect(bar.queryByRole('combobox', { name: 'Trigger' })).toBeNull();
    expect(bar.getByRole('combobox', { name: 'Across' })).toHaveValue('osc1.sine');
    expect(bar.getByRole('combobox', { name: 'Up' })).toHaveValue('lfo1.triangle');
  });

  it('says beside the names what the picture shows', async () => {
    const { bar, user } = open();
    await user.click(bar.getByRole('button', { name: 'Spectrum' }));
    await waitFor(() => expect(screen.getByText('most at 440.0 Hz A4 +0 ct, 14.0 dBV')).toBeInTheDocument(), { timeout: 4000 });
    expect(screen.getByText(/^Blackman-Harris window of 341 ms/)).toBeInTheDocument();
    await user.click(bar.getByRole('button', { name: 'Gates' }));
    await waitFor(() => expect(screen.getByText('4 times, every 500 ms (120 bpm)')).toBeInTheDocument(), { timeout: 4000 });
    expect(screen.queryByText('Oscillator')).toBeNull();
  });

  it('says what is missing where no probe fits the picture', async () => {
    const { bar, user } = open();
    await user.click(bar.getByRole('button', { name: 'Notes' }));
    expect(screen.getByText(/^No probe is on a pitch output/)).toBeInTheDocument();
  });

  it('shows figures as a table with headings, in text', async () => {
    const { bar, user } = open();
    await user.click(bar.getByRole('button', { name: 'Figures' }));
    const row = within(screen.getByRole('row', { name: /^Oscillator, sine/ }));
    await waitFor(() => expect(row.getByText('440.0 Hz')).toBeInTheDocument(), { timeout: 8000 });
    const headings = screen.getAllByRole('columnheader').map((cell) => cell.textContent);
    const cells = row.getAllByRole('cell').map((cell) => cell.textContent);
    expect(cells[headings.indexOf('Note') - 1]).toBe('A4');
    expect(cells[headings.indexOf('Cents') - 1]).toBe('+0 ct');
    expect(cells[headings.indexOf('Peak') - 1]).toBe('5.00 V, -6.0 dB');
    expect(cells[headings.indexOf('True peak') - 1]).toBe('-6.0 dBTP');
    expect(screen.getByText(/YIN .*2002.*BS\.1770/s)).toBeInTheDocument();
  });
});
