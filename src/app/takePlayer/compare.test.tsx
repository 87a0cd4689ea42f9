import { act, render, screen, waitFor } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it } from 'vitest';
import { playedApp } from '../../../tests/support/playedApp.ts';
import { toDb } from '../../measure/levels.ts';
import { setSetting } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import { AppContext } from '../app.ts';
import { CompareNote } from './CompareNote.tsx';
import { HeardSwitch, PlayTake } from './TakeControls.tsx';
import { attachTakeKeys } from './takeKeys.ts';

const patch: Patch = {
  blocks: [
    { id: 'osc1', type: 'oscillator' },
    { id: 'out1', type: 'output' },
  ],
  cables: [{ from: ['osc1', 'sine'], to: ['out1', 'left'] }],
};
const rate = 8000;
const tone = (level: number, hz = 440): Float32Array<ArrayBuffer> =>
  Float32Array.from({ length: rate }, (_, n) => level * Math.sin((2 * Math.PI * hz * n) / rate));

const stops: (() => void)[] = [];
afterEach(() => {
  for (const stop of stops.splice(0)) stop();
});

function stage() {
  const played = playedApp(patch);
  const { app } = played;
  const deliver = (level: number, hz?: number) => played.deliver(tone(level, hz), [], rate);
  const edit = (value: number): void => {
    app.session.run(setSetting(app.session.getState().patch, app.catalogue, { block: 'osc1', setting: 'tune', value }));
  };
  /** The last gain in dB that the player was told. */
  const gain = (): number => toDb(played.players[0]?.told.findLast(({ sound }) => sound)?.sound?.gain ?? 0);
  return { ...played, deliver, edit, gain, player: app.takePlayer };
}

function page() {
  const played = stage();
  stops.push(attachTakeKeys({ ...played.app, isTyping: (target) => target instanceof HTMLInputElement && target.type === 'text' }, window));
  render(
    <AppContext value={played.app}>
      <CompareNote />
    </AppContext>,
  );
  return played;
}

describe('comparing by ear', () => {
  it('turns the louder take down to the other one, from the first switch to the next edit', async () => {
    const { app, player, deliver, edit, gain } = stage();
    deliver(0.1);
    edit(500);
    deliver(0.4);
    await player.play();
    expect(gain()).toBe(0);
    player.hear('before');
    await waitFor(() => expect(app.comparison.getState().match).toBeDefined());
    expect(gain()).toBe(0);
    player.hear('after');
    // Four times the amplitude: 12.04 dB.
    expect(gain()).toBeCloseTo(-12.04, 1);
    player.setEqual(false);
    expect(gain()).toBe(0);
    player.setEqual(true);
    expect(gain()).toBeCloseTo(-12.04, 1);
    edit(600);
    deliver(0.4);
    expect(gain()).toBe(0);
  });

  it('holds the match while a gesture goes on, until the next take is measured', async () => {
    const { app, player, deliver, gain } = stage();
    const move = (value: number): void => {
      const { patch: now } = app.session.getState();
      app.session.run(setSetting(now, app.catalogue, { block: 'osc1', setting: 'tune', value }), { gesture: 'osc1.tune' });
    };
    deliver(0.1);
    move(500);
    deliver(0.4);
    await player.play();
    player.hear('before');
    player.hear('after');
    await waitFor(() => expect(gain()).toBeCloseTo(-12.04, 1));
    move(510);
    deliver(0.2);
    expect(gain()).toBeCloseTo(-12.04, 1);
    await waitFor(() => expect(gain()).toBeCloseTo(-6.02, 1));
  });

  it('measures nothing while nobody wants to know', async () => {
    const { app, deliver, edit } = stage();
    deliver(0.1);
    edit(500);
    deliver(0.4);
    await new Promise((resolve) => setTimeout(resolve, 50));
    expect(app.comparison.getState()).toEqual({ match: undefined, what: undefined });
  });

  it('measures a pair once more when one of the two is another', async () => {
    const { app, deliver, edit } = stage();
    const stop = app.comparison.want();
    deliver(0.1);
    edit(500);
    deliver(0.4);
    await waitFor(() => expect(app.comparison.getState().what?.say[0]).toMatch(/^Louder by 12\.0 LU/));
    edit(600);
    deliver(0.2);
    expect(app.comparison.getState().what).toBeUndefined();
    await waitFor(() => expect(app.comparison.getState().what?.say[0]).toMatch(/^Softer by 6\.0 LU/));
    stop();
  });
});

describe('comparing on the page', () => {
  it('waits for an edit, then says what it changed', async () => {
    const { deliver, edit } = page();
    act(() => void deliver(0.1));
    expect(screen.getByRole('radio', { name: 'Before' })).toBeDisabled();
    expect(screen.getByText(/Each edit keeps the take before it/)).toBeVisible();
    act(() => {
      edit(880);
      deliver(0.4, 880);
    });
    expect(screen.getByRole('radio', { name: 'Before' })).toBeEnabled();
    await waitFor(() => expect(screen.getByRole('status')).toHaveTextContent(/Louder by 1\d\.\d LU/));
    expect(screen.getByRole('status')).toHaveTextContent(/Higher in pitch by 1 octave \(440 Hz before, 880 Hz now\)/);
    expect(screen.getByRole('status')).toHaveTextContent(/Equal loudness: "After" is turned down by 1\d\.\d dB/);
    await userEvent.click(screen.getByText('All figures'));
    const row = screen.getByRole('row', { name: /^Pitch/ });
    expect(row).toHaveTextContent('Pitch440 Hz880 Hz+1 octave');
  });

  it('switches with the arrow keys and with Shift B, and plays with Shift P', async () => {
    const { player, deliver, edit } = page();
    act(() => void deliver(0.1));
    act(() => {
      edit(880);
      deliver(0.4);
    });
    screen.getByRole('radio', { name: 'After' }).focus();
    await userEvent.keyboard('{ArrowUp}');
    expect(player.getState().heard).toBe('before');
    await userEvent.keyboard('{Shift>}B{/Shift}');
    expect(player.getState().heard).toBe('after');
    await userEvent.keyboard('{Shift>}P{/Shift}');
    await waitFor(() => expect(screen.getByRole('button', { name: 'Pause the take' })).toBeVisible());
    await userEvent.click(screen.getByRole('button', { name: 'Pause the take' }));
    expect(player.getState().playing).toBe(false);
  });

  it('has a button that waits for the take, and no switch where there is nothing to compare', async () => {
    const { app, deliver, players } = stage();
    render(
      <AppContext value={app}>
        <PlayTake />
        <HeardSwitch />
      </AppContext>,
    );
    expect(screen.getByRole('button', { name: 'Play the take' })).toBeDisabled();
    expect(screen.queryByRole('radio')).toBeNull();
    act(() => void deliver(0.1));
    await userEvent.click(screen.getByRole('button', { name: 'Play the take' }));
    expect(players[0]?.playing).toBe(true);
  });
});
