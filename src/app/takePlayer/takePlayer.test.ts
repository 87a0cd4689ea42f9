import { describe, expect, it, vi } from 'vitest';
import { playedApp } from '../../../tests/support/playedApp.ts';
import { addProbe, setSetting } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';

const patch: Patch = {
  blocks: [
    { id: 'osc1', type: 'oscillator' },
    { id: 'out1', type: 'output' },
  ],
  cables: [{ from: ['osc1', 'sine'], to: ['out1', 'left'] }],
};
/** So few frames that a failing test can print them. */
const rate = 50;
const seconds = (count: number, level = 0.1): Float32Array<ArrayBuffer> => new Float32Array(count * rate).fill(level);

function stage() {
  const played = playedApp(patch);
  const { app } = played;
  const { session, catalogue } = app;
  const set = (value: number, gesture?: string): void => {
    const change = setSetting(session.getState().patch, catalogue, { block: 'osc1', setting: 'tune', value });
    expect(session.run(change, gesture ? { gesture } : {})).toBe(true);
  };
  const deliver = (left: Float32Array<ArrayBuffer>) => played.deliver(left, [], rate);
  return { ...played, deliver, set, player: app.takePlayer };
}

describe('the take player', () => {
  it('says that the take is on its way, and plays it once it is there', async () => {
    const { app, player, players, deliver } = stage();
    await player.play();
    expect(app.session.getState().said?.text).toMatch(/on its way/);
    expect(player.getState().playing).toBe(false);
    const take = deliver(seconds(4));
    await player.play(1.5);
    expect(player.getState().playing).toBe(true);
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'play', from: 1.5, loop: undefined });
    expect(players[0]?.told.at(-1)?.sound?.left).toBe(take.left);
    expect(player.position()).toBe(1.5);
  });

  it('pauses where it is, goes on from there, and begins again after the end', async () => {
    const { player, players, deliver } = stage();
    deliver(seconds(4));
    await player.play();
    const sound = players[0]!;
    sound.at = 2.5;
    player.pause();
    expect([player.getState().playing, player.position()]).toEqual([false, 2.5]);
    await player.play();
    expect(sound.told.at(-1)?.from).toBe(2.5);
    sound.end();
    expect([player.getState().playing, player.position()]).toEqual([false, 0]);
  });

  it('seeks while it plays and while it rests, within the take', async () => {
    const { player, players, deliver } = stage();
    deliver(seconds(4));
    player.seek(3);
    expect(player.position()).toBe(3);
    await player.play();
    player.seek(99);
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: 4 });
    player.seek(-1);
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: 0 });
  });

  it('loops a region, and goes into it when it plays elsewhere', async () => {
    const { player, players, deliver } = stage();
    deliver(seconds(4));
    await player.play(0.5);
    player.setLoop([3, 2]);
    expect(player.getState().loop).toEqual([2, 3]);
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: 2, loop: [2, 3] });
    players[0]!.at = 2.5;
    player.setLoop([2, 3.5]);
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: undefined, loop: [2, 3.5] });
    player.pause();
    player.seek(0.2);
    await player.play();
    expect(players[0]?.told.at(-1)?.from).toBe(2);
    player.setLoop(undefined);
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: undefined, loop: undefined });
    player.setLoop([1, 1.001]);
    expect(player.getState().loop).toBeUndefined();
  });

  it('goes over to a new take at the same place, and to its beginning where it is shorter', async () => {
    const { player, players, set, deliver } = stage();
    deliver(seconds(4));
    await player.play();
    players[0]!.at = 3;
    set(220);
    const next = deliver(seconds(4, 0.2));
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: undefined });
    expect(players[0]?.told.at(-1)?.sound?.left).toBe(next.left);
    set(330);
    deliver(seconds(2));
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: 0 });
  });

  it('obeys the volume of the live sound, from the first moment on', async () => {
    const { app, player, players, deliver } = stage();
    deliver(seconds(1));
    app.listening.setVolume(0.2);
    await player.play();
    expect(players[0]?.volume).toBe(0.2);
    app.listening.setVolume(0.1);
    expect(players[0]?.volume).toBe(0.1);
  });

  it('never sounds together with the live sound', async () => {
    const { app, live, player, players, deliver } = stage();
    deliver(seconds(4));
    await app.listening.listen();
    await player.play();
    expect(live.stop).toHaveBeenCalledTimes(1);
    expect(app.listening.getState().sound).toBe('off');
    await app.listening.listen();
    expect(player.getState().playing).toBe(false);
    expect(players[0]?.playing).toBe(false);
  });

  it('rests when another patch is opened', async () => {
    const { app, player, players, deliver } = stage();
    deliver(seconds(4));
    player.setLoop([1, 2]);
    await player.play();
    app.session.open(patch, 'other');
    expect(players[0]?.playing).toBe(false);
    expect(player.getState()).toMatchObject({ playing: false, loop: undefined, heard: 'after' });
    expect(player.position()).toBe(0);
    await player.play();
    expect(player.getState().playing).toBe(false);
  });

  it('tells when the device cannot be opened, and tries again next time', async () => {
    const { app, player, deliver } = stage();
    deliver(seconds(1));
    vi.spyOn(app.listening, 'getState').mockImplementationOnce(() => {
      throw new Error('No device.');
    });
    await player.play().catch(() => undefined);
    expect(player.getState().playing).toBe(false);
    await player.play();
    expect(player.getState().playing).toBe(true);
  });
});

describe('before and after', () => {
  it('keeps the take before an edit, and switches between the two at the same place', async () => {
    const { app, player, players, set, deliver } = stage();
    const first = deliver(seconds(4));
    player.hear('before');
    expect(player.getState().heard).toBe('after');
    set(220);
    const second = deliver(seconds(4, 0.2));
    expect(app.listening.getState()).toMatchObject({ take: second, before: first });
    await player.play();
    player.hear('before');
    expect(players[0]?.told.at(-1)).toMatchObject({ what: 'change', from: undefined });
    expect(players[0]?.told.at(-1)?.sound?.left).toBe(first.left);
    player.hear('after');
    expect(players[0]?.told.at(-1)?.sound?.left).toBe(second.left);
  });

  it('compares a run of slider moves with the take before the gesture, also once it is let go', () => {
    const { app, set, deliver } = stage();
    const first = deliver(seconds(1));
    for (const hz of [210, 220, 230]) {
      set(hz, 'osc1.frequency');
      deliver(seconds(1));
      expect(app.listening.getState().before).toBe(first);
    }
    app.session.commitGesture();
    const last = deliver(seconds(1));
    expect(app.listening.getState().before).toBe(first);
    set(300);
    deliver(seconds(1));
    expect(app.listening.getState().before).toBe(last);
  });

  it('takes undo for an edit, and rendering again or a new probe for none', () => {
    const { app, set, deliver } = stage();
    const first = deliver(seconds(1));
    set(220);
    deliver(seconds(1));
    const again = deliver(seconds(1));
    expect(app.listening.getState().before).toBe(first);
    app.session.run(addProbe(app.session.getState().patch, app.catalogue, { at: ['osc1', 'sine'] }));
    const probed = deliver(seconds(1));
    expect(app.listening.getState().before).toBe(first);
    expect(again).not.toBe(probed);
    app.session.undo();
    app.session.undo();
    deliver(seconds(1));
    expect(app.listening.getState().before).toBe(probed);
  });

  it('compares nothing across patches', () => {
    const { app, set, deliver } = stage();
    deliver(seconds(1));
    set(220);
    deliver(seconds(1));
    app.session.open(patch, 'other');
    expect(app.listening.getState()).toMatchObject({ take: undefined, before: undefined });
    deliver(seconds(1));
    expect(app.listening.getState().before).toBeUndefined();
  });

  it('hears the new take after the next edit', async () => {
    const { player, set, deliver } = stage();
    deliver(seconds(1));
    set(220);
    deliver(seconds(1));
    player.hear('before');
    set(330);
    deliver(seconds(1));
    expect(player.getState().heard).toBe('after');
  });
});
