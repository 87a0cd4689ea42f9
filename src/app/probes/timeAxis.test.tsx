import { act, fireEvent, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { recordingCanvas } from '../../../tests/support/recordingCanvas.ts';
import { renderedApp } from '../../../tests/support/renderedApp.ts';
import { renderIn } from '../../../tests/support/smallApp.tsx';
import { specs } from '../../blocks/specs.gen.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { setSetting } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import { Tray } from './Tray.tsx';

const RATE = 48000;
const GUTTER = 64;
const WIDTH = 1064;
const HEIGHT = 320;
const AXIS = 20;

const patch: Patch = {
  seconds: 12,
  blocks: [
    { id: 'clk1', type: 'clock', settings: { bpm: 120 } },
    { id: 'osc1', type: 'oscillator', settings: { tune: 440 } },
    { id: 'out1', type: 'output' },
  ],
  cables: [{ from: ['osc1', 'sine'], to: ['out1', 'left'] }],
  probes: [{ at: ['osc1', 'sine'] }],
};

let canvas = recordingCanvas();
const getContext = HTMLCanvasElement.prototype.getContext;
beforeEach(() => {
  canvas = recordingCanvas();
  HTMLCanvasElement.prototype.getContext = (() => canvas.context) as unknown as typeof getContext;
  Object.defineProperty(HTMLElement.prototype, 'clientWidth', { configurable: true, get: () => WIDTH });
  Object.defineProperty(HTMLElement.prototype, 'clientHeight', { configurable: true, get: () => HEIGHT });
});
afterEach(() => {
  HTMLCanvasElement.prototype.getContext = getContext;
  Reflect.deleteProperty(HTMLElement.prototype, 'clientWidth');
  Reflect.deleteProperty(HTMLElement.prototype, 'clientHeight');
});

/** Draws once more, on an empty canvas. */
async function redrawn(): Promise<void> {
  for (const list of [canvas.texts, canvas.rects, canvas.paths, canvas.rings]) list.length = 0;
  fireEvent.pointerMove(screen.getByRole('img', { name: /^Waves/ }));
  await act(() => new Promise((resolve) => setTimeout(resolve, 40)));
}

function open(what: Patch = patch) {
  const rendered = renderedApp(what);
  renderIn(rendered.app, <Tray />);
  act(() => rendered.bringTake());
  const bracket = screen.queryByRole('slider', { name: 'Shown part of the take' });
  return { ...rendered, bracket: bracket as HTMLElement, user: userEvent.setup(), player: rendered.app.takePlayer };
}

const shown = (): string | null => screen.getByRole('slider', { name: 'Shown part of the take' }).getAttribute('aria-valuetext');
const press = (element: HTMLElement, ...keys: string[]): void => {
  for (const key of keys) fireEvent.keyDown(element, { key });
};

describe('the time axis', () => {
  it('zooms by keys from the whole take down to 20 samples, which are those of the whole take', async () => {
    // So long that not every frame of it is kept: a window must be rendered.
    const { app, bracket, bringWindow, wantedWindow } = open({ ...patch, seconds: 60 });
    expect(shown()).toBe('from 0.000 s, 60 s long');
    press(bracket, ...'+'.repeat(3), 'PageUp', ...'+'.repeat(20));
    expect(shown()).toMatch(/^from 37\.\d+ s, 0\.42 ms long$/);
    expect(wantedWindow()?.frames).toBeLessThan(1e6);
    act(() => bringWindow());
    expect(wantedWindow()).toBeUndefined();
    await redrawn();
    expect(canvas.rings.length).toBeGreaterThanOrEqual(20);
    expect(canvas.rings.length).toBeLessThanOrEqual(22);

    const whole = renderTake(engineModule(), specs, app.session.getState().patch, { taps: [{ at: ['osc1', 'sine'] }] });
    const start = Number(bracket.getAttribute('aria-valuenow'));
    const volts = whole.taps[0] as Float32Array;
    const drawn = canvas.rings.map(([x]) => start * RATE + ((x - GUTTER) / (WIDTH - GUTTER)) * 20);
    for (const frame of drawn) expect(Math.abs(frame - Math.round(frame))).toBeLessThan(1e-3);
    // Dots lie on one straight scale of volts, as the samples do: slope and offset from the two outermost ones.
    const points = canvas.rings.map(([, y], i) => [y, volts[Math.round(drawn[i] as number)] as number] as const);
    const [low, high] = [points.reduce((a, b) => (b[1] < a[1] ? b : a)), points.reduce((a, b) => (b[1] > a[1] ? b : a))];
    expect(high[1] - low[1]).toBeGreaterThan(0.5);
    const slope = (high[0] - low[0]) / (high[1] - low[1]);
    expect(slope).toBeLessThan(0);
    for (const [y, v] of points) expect(y).toBeCloseTo(low[0] + slope * (v - low[1]), 3);
  });

  it('shows peaks while a window is being rendered, and of an older take nothing', async () => {
    const { app, bracket, bringTake, bringWindow, wantedWindow } = open({ ...patch, seconds: 60 });
    press(bracket, ...'+'.repeat(7), 'End');
    expect(wantedWindow()).toMatchObject({ takes: [1], outputs: [['osc1', 'sine']] });
    await redrawn();
    expect(canvas.paths.length).toBeGreaterThan(0);
    act(() => bringWindow());
    press(bracket, 'Home');
    const stale = wantedWindow();
    act(() => {
      app.session.run(setSetting(app.session.getState().patch, app.catalogue, { block: 'osc1', setting: 'tune', value: 220 }));
      bringTake();
    });
    // The new take brought along what is looked at; for the old one behind it the same frames are asked for.
    expect(stale?.takes).toEqual([1]);
    expect(wantedWindow()?.takes).toEqual([1]);
    expect(app.listening.getState().before?.number).toBe(1);
    await redrawn();
    const withoutGrey = canvas.paths.length;
    act(() => bringWindow());
    await redrawn();
    expect(canvas.paths.length).toBe(withoutGrey + 1);
  });

  it('is moved and resized with the mouse on the overview', () => {
    const { bracket } = open();
    const strip = screen.getByRole('group', { name: 'Time axis' });
    strip.getBoundingClientRect = () => ({ left: 0, top: 0, width: WIDTH, height: 40 }) as DOMRect;
    strip.setPointerCapture = () => undefined;
    const at = (second: number) => ({ clientX: (second / 12) * WIDTH, button: 0, pointerId: 1 });
    const drag = (from: number, to: number): void => {
      fireEvent.pointerDown(strip, at(from));
      fireEvent.pointerMove(strip, at(to));
      fireEvent.pointerUp(strip, at(to));
    };
    drag(12, 4);
    expect(shown()).toBe('from 0.000 s, 4 s long');
    drag(2, 5);
    expect(shown()).toBe('from 3.000 s, 4 s long');
    drag(3, 1);
    expect(shown()).toBe('from 1.000 s, 6 s long');
    // Elsewhere: the bracket comes there, and follows.
    drag(11, 9);
    expect(shown()).toBe('from 4.000 s, 6 s long');
    fireEvent.doubleClick(strip);
    expect(shown()).toBe('from 0.000 s, 12 s long');
    press(bracket, '+', 'ArrowRight', 'ArrowRight');
    expect(shown()).toBe('from 4.200 s, 6 s long');
    press(screen.getByRole('slider', { name: 'End of the shown part' }), 'ArrowLeft');
    expect(shown()).toBe('from 4.200 s, 5.7 s long');
    press(bracket, '0');
    expect(shown()).toBe('from 0.000 s, 12 s long');
  });

  it('steps by beats of the clock: the playhead goes there, and what is shown goes along', async () => {
    const { bracket, user, player } = open();
    await user.click(screen.getByRole('button', { name: 'Next beat' }));
    expect(player.position()).toBe(0.5);
    press(bracket, ...'+'.repeat(4));
    const before = Number(bracket.getAttribute('aria-valuenow'));
    expect(before).toBeLessThanOrEqual(0.5);
    fireEvent.keyDown(bracket, { key: 'ArrowRight', shiftKey: true });
    expect(player.position()).toBe(1);
    expect(Number(bracket.getAttribute('aria-valuenow'))).toBeCloseTo(before + 0.5, 6);
    await user.click(screen.getByRole('button', { name: 'Previous beat' }));
    expect(player.position()).toBe(0.5);
    expect(screen.getByRole('slider', { name: 'Playhead' })).toHaveAttribute('aria-valuetext', '0.500 s');
  });

  it('steps along another gate when one is chosen', async () => {
    const { user, player, bringTake } = open();
    await user.selectOptions(screen.getByRole('combobox', { name: 'Beats from' }), 'Clock, sixteenth');
    act(() => bringTake());
    await user.click(screen.getByRole('button', { name: 'Next beat' }));
    expect(player.position()).toBe(0.125);
  });

  it('says plainly that there is nothing to step along', () => {
    open({ ...patch, blocks: patch.blocks.slice(1) });
    expect(screen.getByText('no clock or gate to step along')).toBeVisible();
    expect(screen.queryByRole('button', { name: 'Next beat' })).toBeNull();
  });

  it('asks for a gate where there is no clock, and says when it never rises', () => {
    open({ ...patch, blocks: [{ id: 'seq1', type: 'sequencer' }, ...patch.blocks.slice(1)] });
    expect(screen.getByRole('option', { name: 'no clock: choose a gate' })).toBeInTheDocument();
    expect(screen.getByRole('button', { name: 'Next beat' })).toBeDisabled();
  });

  it('loops what is shown, or what is marked on the ruler with Shift, until it is told not to', async () => {
    const { bracket, user, player } = open();
    press(bracket, '+');
    await user.click(screen.getByRole('button', { name: 'Loop what is shown' }));
    expect(player.getState().loop).toEqual([3, 9]);
    await user.click(screen.getByRole('button', { name: 'No loop' }));
    expect(player.getState().loop).toBeUndefined();
    const ruler = screen.getByRole('slider', { name: 'Playhead' });
    ruler.getBoundingClientRect = () => ({ left: GUTTER, top: HEIGHT - AXIS, width: 600, height: AXIS }) as DOMRect;
    ruler.setPointerCapture = () => undefined;
    // 600 pixels for the 6 seconds from 3 on.
    const at = (second: number) => ({ clientX: GUTTER + (second - 3) * 100, button: 0, pointerId: 1 });
    fireEvent.pointerDown(ruler, { ...at(7), shiftKey: true });
    fireEvent.pointerMove(ruler, at(5));
    fireEvent.pointerUp(ruler, at(5));
    expect(player.getState().loop).toEqual([5, 7]);
    fireEvent.pointerDown(ruler, at(4));
    fireEvent.pointerUp(ruler, at(4));
    expect(player.position()).toBe(4);
    expect(player.getState().loop).toEqual([5, 7]);
  });

  it('follows the take that plays, page by page, past React', async () => {
    const { bracket, player, players } = open();
    press(bracket, ...'+'.repeat(3), 'Home');
    await act(() => player.play(1.4));
    const sound = players[0];
    if (!sound) throw new Error('No player was opened.');
    await act(() => new Promise((resolve) => setTimeout(resolve, 60)));
    expect(shown()).toBe('from 0.000 s, 1.5 s long');
    sound.at = 1.51;
    await act(() => new Promise((resolve) => setTimeout(resolve, 60)));
    expect(shown()).toBe('from 1.510 s, 1.5 s long');
    const line = document.querySelector<HTMLElement>('.probe-over .time-playhead');
    sound.at = 2.26;
    await act(() => new Promise((resolve) => setTimeout(resolve, 60)));
    expect(Number.parseFloat(line?.style.left ?? '')).toBeCloseTo(50, 6);
    act(() => player.pause());
  });

  it('shows every recorded output in a row on demand, and clips probes there', async () => {
    const { app, user } = open({ ...patch, cables: [...patch.cables, { from: ['clk1', 'eighth'], to: ['osc1', 'sync'] }] });
    expect(screen.queryByRole('region', { name: 'All signals' })).toBeNull();
    await user.click(screen.getByRole('button', { name: 'All signals' }));
    const names = screen.getAllByRole('button', { name: /^Probe on/ }).map((button) => button.textContent);
    expect(names).toEqual(['Clock, beat', 'Clock, eighth', 'Oscillator, sine']);
    const eighth = screen.getByRole('button', { name: 'Probe on Clock, eighth' });
    await user.click(eighth);
    expect(eighth).toHaveAttribute('aria-pressed', 'true');
    expect(app.session.getState().patch.probes).toEqual([{ at: ['osc1', 'sine'] }, { at: ['clk1', 'eighth'] }]);
    await user.click(eighth);
    expect(app.session.getState().patch.probes).toEqual([{ at: ['osc1', 'sine'] }]);
    await user.click(screen.getByRole('button', { name: 'All signals' }));
    expect(screen.queryByRole('region', { name: 'All signals' })).toBeNull();
  });

  it('begins anew with another patch, and keeps the whole take whole when its length changes', () => {
    const { app, bracket } = open();
    act(() => app.session.open({ ...patch, seconds: 30 }, 'other'));
    expect(shown()).toBe('from 0.000 s, 30 s long');
    press(bracket, '+', '+');
    act(() => app.session.open(patch, 'third'));
    expect(shown()).toBe('from 0.000 s, 12 s long');
  });
});
