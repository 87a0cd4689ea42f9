/**
 * The notes being played by hand, whoever plays them: computer keys, the keys on the screen, MIDI. Each source holds at most
 * one note; a note ends when nobody holds it any more, and all end when the sound, the patch or the window goes away.
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import { MESSAGE } from '../../engine/plan/events.ts';
import type { Catalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import type { Session } from '../store/session.ts';
import type { Listening } from './listening.ts';

export interface PlayingState {
  /** The patch has a block that plays notes. */
  readonly playable: boolean;
  /** Note numbers that somebody holds. */
  readonly held: ReadonlySet<number>;
}

export interface Playing extends StoreApi<PlayingState> {
  /** @param source who holds the note ("keys KeyQ"); its earlier note ends. @param velocity 0..1 */
  press(source: string, note: number, velocity: number): void;
  release(source: string): void;
  /** Ends what all sources hold whose name begins so; '' ends everything. */
  releaseAll(begin?: string): void;
  /** @param share -1..1 of the bend range */
  bend(share: number): void;
  /** @param share 0..1 */
  wheel(share: number): void;
}

export interface PlayingParts {
  readonly session: Session;
  readonly catalogue: Catalogue;
  readonly listening: Listening;
}

const nothing: ReadonlySet<number> = new Set();

export function createPlaying({ session, catalogue, listening }: PlayingParts): Playing {
  const playable = (patch: Patch): boolean => patch.blocks.some(({ type }) => catalogue.get(type)?.playsNotes);
  const store = createStore<PlayingState>()(() => ({ playable: playable(session.getState().patch), held: nothing }));
  const { getState, setState } = store;
  /** Note by source. */
  const sources = new Map<string, number>();
  let told = false;

  const isOn = (): boolean => listening.getState().sound === 'on';
  const show = (): void => setState({ held: sources.size === 0 ? nothing : new Set(sources.values()) });

  /** Takes the note from a source and ends it if nobody else holds it. */
  function letGo(source: string): void {
    const note = sources.get(source);
    if (note === undefined) return;
    sources.delete(source);
    if (![...sources.values()].includes(note)) listening.play(MESSAGE.noteOff, note, 0);
  }

  /** Nothing sounds any more or another patch does: there is nobody left to tell. */
  function forget(): void {
    if (sources.size === 0) return;
    sources.clear();
    show();
  }

  const playing: Omit<Playing, keyof StoreApi<PlayingState>> = {
    press(source, note, velocity) {
      if (!getState().playable || note < 0 || note > 127) return;
      if (!isOn()) {
        if (!told) session.say('Press Listen first; then the keys play.');
        told = true;
        return;
      }
      if (sources.get(source) === note) return;
      letGo(source);
      sources.set(source, note);
      listening.play(MESSAGE.noteOn, note, velocity);
      show();
    },
    release(source) {
      if (!sources.has(source)) return;
      letGo(source);
      show();
    },
    releaseAll(begin = '') {
      if (sources.size === 0) return;
      if (begin === '') {
        listening.play(MESSAGE.allOff, 0, 0);
        forget();
        return;
      }
      for (const source of [...sources.keys()]) if (source.startsWith(begin)) letGo(source);
      show();
    },
    bend: (share) => listening.play(MESSAGE.bend, share, 0),
    wheel: (share) => listening.play(MESSAGE.wheel, share, 0),
  };

  listening.subscribe((now, before) => {
    if (now.sound !== before.sound && now.sound !== 'on') forget();
  });
  session.subscribe((now, before) => {
    if (now.opened.count !== before.opened.count) playing.releaseAll();
    if (now.patch.blocks === before.patch.blocks) return;
    const can = playable(now.patch);
    if (can === getState().playable) return;
    if (!can) playing.releaseAll();
    setState({ playable: can });
  });

  return Object.assign(store, playing);
}
