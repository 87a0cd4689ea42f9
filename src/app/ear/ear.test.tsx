import { act, fireEvent, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { playedApp } from '../../../tests/support/playedApp.ts';
import { addProbe, removeBlocks, removeProbe, setSetting } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import { AppContext } from '../app.ts';
import { attachTakeKeys } from '../takePlayer/takeKeys.ts';
import { EarButton } from './EarButton.tsx';
import { EarNote } from './EarNote.tsx';

const patch: Patch = {
  blocks: [
    { id: 'osc1', type: 'oscillator' },
    { id: 'lfo1', type: 'lfo', label: 'Tide' },
    { id: 'out1', type: 'output' },
  ],
  cables: [
    { from: ['osc1', 'sine'], to: ['out1', 'left'] },
    { from: ['lfo1', 'triangle'], to: ['osc1', 'fmExp'] },
  ],
};
const rate = 4000;
const sound = (at: (t: number) => number, seconds = 1): Float32Array<ArrayBuffer> =>
  Float32Array.from({ length: seconds * rate }, (_, n) => at(n / rate));
const tone = sound((t) => 0.2 * Math.sin(2 * Math.PI * 200 * t));

function stage() {
  const played = playedApp(patch);
  const { app } = played;
  const set = (value: number): void => {
    app.session.run(setSetting(app.session.getState().patch, app.catalogue, { block: 'osc1', setting: 'tune', value }));
  };
  return {
    ...played,
    set,
    ear: app.ear,
    player: app.takePlayer,
    deliver: () => played.deliver(tone.slice(), [], rate),
    deliverPoint: (left = tone.slice(), volts = tone.map((x) => 10 * x)) => played.deliverPoint(left, volts, rate),
  };
}

describe('the ear', () => {
  it('renders the point for the take, plays it, and leaves the patch and its take alone', async () => {
    const { app, ear, deliver, deliverPoint, pointRequests, players } = stage();
    const before = app.session.getState();
    const take = deliver();
    ear.listenTo(['osc1', 'saw']);
    expect(ear.getState()).toMatchObject({ at: ['osc1', 'saw'], name: 'Oscillator, saw' });
    const [asked] = pointRequests;
    expect(asked?.patch.cables).toContainEqual({ from: ['osc1', 'saw'], to: ['ear1', 'left'] });
    expect(asked?.patch.cables).not.toContainEqual(patch.cables[0]);
    expect(asked).toMatchObject({ seconds: 1, rate, taps: [{ at: ['osc1', 'saw'] }], window: { from: 0, frames: rate } });
    deliverPoint();
    await vi.waitFor(() => expect(players[0]?.told.at(-1)?.what).toBe('play'));
    expect(players[0]?.told.at(-1)?.sound?.left).toBe(ear.getState().after?.left);
    expect(app.listening.getState().take).toBe(take);
    expect(app.session.getState().patch).toBe(before.patch);
    expect(app.session.getState().history).toBe(before.history);
  });

  it('goes back to what the patch puts out, at the same place', async () => {
    const { ear, player, deliver, deliverPoint, players } = stage();
    const take = deliver();
    await player.play(0.3);
    ear.listenTo(['osc1', 'saw']);
    expect(players[0]?.told).toHaveLength(1);
    deliverPoint();
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: undefined });
    ear.off();
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: undefined });
    expect(players[0]?.told.at(-1)?.sound?.left).toBe(take.left);
    expect(ear.getState().at).toBeUndefined();
  });

  it('compares the point before and after an edit', () => {
    const { ear, player, set, deliver, deliverPoint, pointRequests } = stage();
    deliver();
    ear.listenTo(['osc1', 'saw']);
    deliverPoint();
    const first = ear.getState().after;
    set(500);
    deliver();
    expect(pointRequests).toHaveLength(2);
    deliverPoint(tone.map((x) => x / 2));
    expect(ear.getState().before).toBe(first);
    expect(ear.getState().after).not.toBe(first);
    player.hear('before');
    expect(player.getState().heard).toBe('before');
  });

  it('renders the take before as well where it was put on after an edit', () => {
    const { ear, set, deliver, deliverPoint, pointRequests } = stage();
    deliver();
    set(500);
    deliver();
    ear.listenTo(['osc1', 'saw']);
    deliverPoint();
    expect(ear.getState().before).toBeUndefined();
    expect(pointRequests[1]?.patch.blocks.find(({ id }) => id === 'osc1')?.settings).toBeUndefined();
    deliverPoint();
    expect(ear.getState().before).toBeDefined();
    expect(pointRequests).toHaveLength(2);
  });

  it('comes off when its block, or the probe it was on, is gone, or another patch is opened', () => {
    const { app, ear, deliver } = stage();
    const { session, catalogue } = app;
    deliver();
    const run = (change: Parameters<typeof session.run>[0]) => expect(session.run(change)).toBe(true);
    ear.listenTo(['osc1', 'sine']);
    run(addProbe(session.getState().patch, catalogue, { at: ['osc1', 'sine'] }));
    expect(ear.getState().at).toBeDefined();
    run(removeProbe(session.getState().patch, catalogue, { at: ['osc1', 'sine'] }));
    expect(ear.getState().at).toBeUndefined();
    ear.listenTo(['osc1', 'sine']);
    run(removeBlocks(session.getState().patch, catalogue, { ids: ['osc1'] }));
    expect(ear.getState().at).toBeUndefined();
    ear.listenTo(['lfo1', 'triangle']);
    session.open(patch, 'other');
    expect(ear.getState().at).toBeUndefined();
  });

  it('announces a control voltage before and after it is measured', () => {
    const { ear, deliver, deliverPoint } = stage();
    deliver();
    ear.listenTo(['lfo1', 'triangle']);
    expect(ear.getState()).toMatchObject({ name: 'Tide, triangle', announcement: { sounds: false } });
    expect(ear.getState().announcement?.say).toMatch(/^This is a control voltage: most of it/);
    deliverPoint(
      tone.slice(),
      sound((t) => (Math.sin(2 * Math.PI * 3 * t) > 0 ? 5 : -5)),
    );
    expect(ear.getState().announcement?.say).toBe(
      'This is a control voltage: it moves at about 3 Hz, too slow to hear. What you hear are only its edges.',
    );
  });
});

describe('the ear, live', () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  const heard = (live: ReturnType<typeof stage>['live']): Patch => live.setPatch.mock.calls.at(-1)?.[0] as Patch;

  it('goes over to a sound at once, and back', async () => {
    const { app, ear, live } = stage();
    await app.listening.listen();
    ear.listenTo(['osc1', 'saw']);
    expect(heard(live).cables).toContainEqual({ from: ['osc1', 'saw'], to: ['ear1', 'left'] });
    ear.off();
    // What the patch puts out is heard at once; the ear comes to rest before its block goes.
    expect(heard(live).cables).toBe(app.session.getState().patch.cables);
    expect(heard(live).blocks.at(-1)?.id).toBe('ear1');
    vi.advanceTimersByTime(600);
    expect(heard(live)).toBe(app.session.getState().patch);
    expect(live.setVolume).toHaveBeenCalledTimes(1);
  });

  it('goes over to a control voltage behind silence, and back, until the dc block has settled', async () => {
    const { app, ear, live } = stage();
    await app.listening.listen();
    app.listening.setVolume(0.3);
    for (const change of [() => ear.listenTo(['lfo1', 'triangle']), () => ear.off()]) {
      live.setPatch.mockClear();
      change();
      expect(live.setVolume).toHaveBeenLastCalledWith(0);
      expect(live.setPatch).not.toHaveBeenCalled();
      vi.advanceTimersByTime(100);
      expect(live.setPatch).toHaveBeenCalledTimes(1);
      app.listening.setVolume(0.3);
      expect(live.setVolume).toHaveBeenLastCalledWith(0);
      vi.advanceTimersByTime(300);
      expect(live.setVolume).toHaveBeenLastCalledWith(0.3);
    }
  });

  it('stays on through edits, and when the sound is started anew', async () => {
    const { app, ear, live, set } = stage();
    await app.listening.listen();
    ear.listenTo(['osc1', 'saw']);
    set(500);
    expect(heard(live).blocks.at(-1)?.id).toBe('ear1');
    await app.listening.stop();
    await app.listening.listen();
    const [[played]] = live.play.mock.calls.slice(-1) as unknown as [[Patch]];
    expect(played.blocks.at(-1)?.id).toBe('ear1');
  });
});

describe('the ear on the page', () => {
  const stops: (() => void)[] = [];
  afterEach(() => {
    for (const stop of stops.splice(0)) stop();
  });

  function page() {
    const played = stage();
    const { app } = played;
    played.deliver();
    stops.push(attachTakeKeys({ ...app, isTyping: (target) => target instanceof HTMLInputElement }, window));
    render(
      <AppContext value={app}>
        <EarNote />
        <EarButton at={['lfo1', 'triangle']} name="Tide, triangle" />
        <input aria-label="A field" />
      </AppContext>,
    );
    return played;
  }

  it('is a button that is pressed, and a note with the way back', async () => {
    const { ear } = page();
    const button = screen.getByRole('button', { name: 'Put the ear on Tide, triangle', pressed: false });
    await userEvent.click(button);
    expect(button).toHaveAttribute('aria-pressed', 'true');
    expect(screen.getByRole('status')).toHaveTextContent('You hear: Tide, triangle');
    expect(screen.getByRole('status')).toHaveTextContent(/control voltage/);
    await userEvent.click(screen.getByRole('button', { name: 'Back to the output' }));
    expect(ear.getState().at).toBeUndefined();
    expect(screen.getByRole('status')).toBeEmptyDOMElement();
  });

  it('comes off with Escape, unless a field or something else takes the key', async () => {
    const { ear } = page();
    act(() => ear.listenTo(['osc1', 'saw']));
    const pressEscape = (target: Element, taken = false): void => {
      const event = new KeyboardEvent('keydown', { key: 'Escape', bubbles: true, cancelable: true });
      fireEvent(target, event);
      if (taken) event.preventDefault();
    };
    const later = () => act(() => new Promise((resolve) => setTimeout(resolve, 5)));
    pressEscape(screen.getByRole('textbox'));
    await later();
    pressEscape(document.body, true);
    await later();
    expect(ear.getState().at).toBeDefined();
    pressEscape(document.body);
    await later();
    expect(ear.getState().at).toBeUndefined();
  });
});
