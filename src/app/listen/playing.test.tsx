import { act, fireEvent, render, screen, waitFor } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { specs } from '../../blocks/specs.gen.ts';
import { symbols } from '../../blocks/symbols.gen.ts';
import type { LiveSound } from '../../engine/hosts/live.ts';
import { MESSAGE } from '../../engine/plan/events.ts';
import { removeBlocks } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import { type App, AppContext } from '../app.ts';
import { createApp } from '../createApp.ts';
import { KeyBar } from './KeyBar.tsx';
import { receive } from './midi.ts';

const tune: Patch = {
  blocks: [
    { id: 'keys1', type: 'keys' },
    { id: 'osc1', type: 'oscillator' },
    { id: 'out1', type: 'output' },
  ],
  cables: [
    { from: ['keys1', 'pitch'], to: ['osc1', 'pitch'] },
    { from: ['osc1', 'sine'], to: ['out1', 'left'] },
  ],
};

type Message = readonly [code: number, a: number, b: number];
const { noteOn, noteOff, bend, wheel, allOff } = MESSAGE;

const stops: (() => void)[] = [];
afterEach(() => {
  for (const stop of stops.splice(0)) stop();
});

interface Stage extends App {
  readonly heard: Message[];
}

/** The page with live sound that only notes what it is told. */
function stage(patch = tune, requestMidi?: () => Promise<MIDIAccess>): Stage {
  const heard: Message[] = [];
  const live = {
    context: { sampleRate: 48000 },
    latency: 0,
    setVolume: () => undefined,
    setPatch: () => undefined,
    setSounds: () => undefined,
    play: async () => undefined,
    stop: async () => undefined,
    peak: () => 0,
    message: (...message: [number, number, number]) => void heard.push(message),
  } as unknown as LiveSound;
  const sound = { openLive: async () => live, openTakes: () => ({ render: () => undefined, cancel: () => undefined }) };
  const app = createApp({ specs, symbols, patch, sound, requestMidi });
  stops.push(app.keyboard.attach(window));
  render(
    <AppContext value={app}>
      <input aria-label="A field" />
      <KeyBar />
    </AppContext>,
  );
  return Object.assign(app, { heard });
}
async function listening(patch?: Patch, requestMidi?: () => Promise<MIDIAccess>): Promise<Stage> {
  const app = stage(patch, requestMidi);
  await act(() => app.listening.listen());
  return app;
}
const press = (code: string, init: KeyboardEventInit = {}, target: Element = document.body): boolean =>
  fireEvent.keyDown(target, { code, key: code, ...init });
const release = (code: string, target: Element = document.body): boolean => fireEvent.keyUp(target, { code, key: code });

describe('the computer keys', () => {
  it.each([
    // A piano's order over the two letter rows; C4 is note number 60 (MIDI 1.0).
    ['KeyZ', 48],
    ['KeyS', 49],
    ['KeyM', 59],
    ['KeyQ', 60],
    ['Digit2', 61],
    ['KeyI', 72],
  ])('%s plays note %i and lets it go', async (code, note) => {
    const { heard } = await listening();
    expect(press(code)).toBe(false); // taken
    expect(press(code, { repeat: true })).toBe(false);
    release(code);
    expect(heard).toEqual([
      [noteOn, note, 0.8],
      [noteOff, note, 0],
    ]);
  });

  it('reach other octaves, and let go what was struck in the last one', async () => {
    const { heard, keyboard } = await listening();
    press('KeyQ');
    press('Period');
    expect(keyboard.getState().octave).toBe(4);
    release('KeyQ');
    press('KeyQ');
    press('Comma');
    press('Comma');
    expect(keyboard.getState().octave).toBe(2);
    expect(heard.map(([code, note]) => [code, note])).toEqual([
      [noteOn, 60],
      [noteOff, 60],
      [noteOn, 72],
    ]);
    for (let i = 0; i < 20; i++) press('Period');
    expect(keyboard.getState().octave).toBe(7);
  });

  it.each([
    ['a text field', {}, 'field'],
    ['Ctrl', { ctrlKey: true }, 'body'],
    ['Alt', { altKey: true }, 'body'],
    ['Cmd', { metaKey: true }, 'body'],
    ['Shift', { shiftKey: true }, 'body'],
  ])('play nothing with %s', async (_name, init, where) => {
    const { heard } = await listening();
    expect(press('KeyQ', init, where === 'field' ? screen.getByLabelText('A field') : document.body)).toBe(true);
    expect(heard).toEqual([]);
  });

  it('end a note even when the focus has gone to a field meanwhile', async () => {
    const { heard } = await listening();
    press('KeyQ');
    release('KeyQ', screen.getByLabelText('A field'));
    expect(heard.at(-1)).toEqual([noteOff, 60, 0]);
  });

  it('fall silent when the window loses the focus', async () => {
    const { heard, playing } = await listening();
    press('KeyQ');
    press('KeyW');
    fireEvent.blur(window);
    expect(heard.at(-1)).toEqual([allOff, 0, 0]);
    expect(playing.getState().held.size).toBe(0);
    release('KeyQ');
    expect(heard).toHaveLength(3);
  });

  it('say once that the sound is off, and leave the keys to the page', () => {
    const { session, heard } = stage();
    press('KeyQ');
    expect(session.getState().said).toMatchObject({ text: expect.stringContaining('Press Listen first'), count: 1 });
    press('KeyW');
    expect(session.getState().said?.count).toBe(1);
    expect(heard).toEqual([]);
  });

  it('do nothing in a patch without a keyboard, nor once theirs is deleted', async () => {
    const app = await listening();
    press('KeyQ');
    act(() => void app.session.run(removeBlocks(app.session.getState().patch, app.catalogue, { ids: ['keys1'] })));
    expect(app.heard.at(-1)).toEqual([allOff, 0, 0]);
    expect(press('KeyW')).toBe(true);
    expect(app.heard).toHaveLength(2);
    expect(screen.queryByRole('region', { name: 'Keyboard' })).toBeNull();
    act(() => app.session.undo());
    expect(screen.getByRole('region', { name: 'Keyboard' })).toBeInTheDocument();
  });

  it('can be switched off, where the switch is in sight', async () => {
    const { heard } = await listening();
    press('KeyQ');
    await userEvent.click(screen.getByRole('checkbox', { name: 'Play with keys' }));
    expect(heard.at(-1)).toEqual([noteOff, 60, 0]);
    expect(press('KeyW')).toBe(true);
    expect(heard).toHaveLength(2);
  });
});

describe('the keys on the screen', () => {
  const at = (note: string): void => {
    document.elementFromPoint = () => screen.getByRole('button', { name: note });
  };
  const keysStrip = (): HTMLElement => screen.getByRole('toolbar', { name: 'Keys' });
  const pointer = (type: 'pointerDown' | 'pointerMove' | 'pointerUp', pointerId = 1): void =>
    void fireEvent[type](keysStrip(), { pointerId, button: 0 });

  it('slide from one to the next, with one finger or several', async () => {
    const { heard } = await listening();
    at('C3');
    pointer('pointerDown', 1);
    at('E3');
    pointer('pointerDown', 2);
    at('D3');
    pointer('pointerMove', 1);
    expect(screen.getByRole('button', { name: 'D3' })).toHaveAttribute('data-held', 'true');
    document.elementFromPoint = () => document.body;
    pointer('pointerMove', 1);
    pointer('pointerUp', 2);
    pointer('pointerUp', 1);
    expect(heard.map(([code, note]) => [code, note])).toEqual([
      [noteOn, 48],
      [noteOn, 52],
      [noteOff, 48],
      [noteOn, 50],
      [noteOff, 50],
      [noteOff, 52],
    ]);
  });

  it('are reached with Tab and arrows, and played with the space bar', async () => {
    const { heard } = await listening();
    screen.getByRole('button', { name: 'C3' }).focus();
    await userEvent.keyboard('{ArrowRight}{ArrowRight}');
    expect(screen.getByRole('button', { name: 'D3' })).toHaveFocus();
    await userEvent.keyboard('[Space]');
    expect(heard.map(([code, note]) => [code, note])).toEqual([
      [noteOn, 50],
      [noteOff, 50],
    ]);
    expect(document.querySelectorAll('.screen-key[tabindex="0"]')).toHaveLength(1);
  });

  it('are there only while there is sound and something to play', async () => {
    const app = stage();
    expect(screen.queryByRole('region', { name: 'Keyboard' })).toBeNull();
    await act(() => app.listening.listen());
    expect(screen.getAllByRole('button', { name: /^[A-G]#?\d$/ })).toHaveLength(25);
    await act(() => app.listening.stop());
    expect(screen.queryByRole('region', { name: 'Keyboard' })).toBeNull();
  });
});

describe('notes with several hands on them', () => {
  it('end with the last hand', async () => {
    const { playing, heard } = await listening();
    playing.press('a', 60, 1);
    playing.press('b', 60, 0.5);
    playing.release('a');
    expect(heard).toEqual([
      [noteOn, 60, 1],
      [noteOn, 60, 0.5],
    ]);
    playing.release('b');
    expect(heard.at(-1)).toEqual([noteOff, 60, 0]);
  });

  it('end when another patch is opened or the sound stops', async () => {
    const { playing, session, listening: sound, heard } = await listening();
    playing.press('a', 60, 1);
    session.open(tune, 'other');
    expect(heard.at(-1)).toEqual([allOff, 0, 0]);
    playing.press('a', 60, 1);
    await sound.stop();
    expect(playing.getState().held.size).toBe(0);
  });
});

describe('MIDI', () => {
  /** Bytes by the tables of the MIDI 1.0 Detailed Specification. */
  it.each<[string, number[], Message[]]>([
    ['note on, channel 1', [0x90, 60, 127], [[noteOn, 60, 1]]],
    ['note on, channel 16', [0x9f, 0, 1], [[noteOn, 0, 1 / 127]]],
    ['bend, middle', [0xe0, 0x00, 0x40], [[bend, 0, 0]]],
    ['bend, lowest', [0xe0, 0x00, 0x00], [[bend, -1, 0]]],
    ['bend, highest', [0xe3, 0x7f, 0x7f], [[bend, 1, 0]]],
    ['modulation wheel', [0xb0, 1, 127], [[wheel, 1, 0]]],
    ['another controller', [0xb0, 7, 127], []],
    ['timing clock', [0xf8], []],
    ['active sensing', [0xfe], []],
    ['note off for nothing', [0x80, 60, 64], []],
  ])('%s', async (_name, bytes, messages) => {
    const { playing, heard } = await listening();
    receive(playing, 'midi x ', new Uint8Array(bytes));
    expect(heard).toEqual(messages);
  });

  it.each([
    ['note off', [0x80, 60, 0]],
    ['note on with velocity 0', [0x90, 60, 0]],
    ['all notes off', [0xb0, 123, 0]],
    ['all sound off', [0xb0, 120, 0]],
  ])('a note ends with %s of its own channel only', async (_name, bytes) => {
    const { playing, heard } = await listening();
    receive(playing, 'midi x ', new Uint8Array([0x90, 60, 100]));
    receive(playing, 'midi x ', new Uint8Array([(bytes[0] ?? 0) + 1, ...bytes.slice(1)]));
    expect(heard).toHaveLength(1);
    receive(playing, 'midi x ', new Uint8Array(bytes));
    expect(heard.at(-1)).toEqual([noteOff, 60, 0]);
  });

  interface FakeInput {
    id: string;
    name: string;
    state: 'connected' | 'disconnected';
    onmidimessage?: (event: { data: Uint8Array }) => void;
  }

  it('is asked for only on a press, takes keyboards that come later and lets go when they leave', async () => {
    const inputs = new Map<string, FakeInput>();
    const access = { inputs, onstatechange: () => undefined };
    const request = vi.fn(async () => access as unknown as MIDIAccess);
    const app = await listening(tune, request);
    expect(request).not.toHaveBeenCalled();
    await userEvent.click(screen.getByRole('button', { name: 'Use a MIDI keyboard' }));
    expect(screen.getByText('MIDI is on, no keyboard yet')).toBeInTheDocument();

    const organ: FakeInput = { id: 'o', name: 'Chapel organ', state: 'connected' };
    inputs.set('o', organ);
    act(() => access.onstatechange());
    expect(screen.getByText('Chapel organ')).toBeInTheDocument();
    act(() => organ.onmidimessage?.({ data: new Uint8Array([0x90, 64, 127]) }));
    expect(app.heard).toEqual([[noteOn, 64, 1]]);
    organ.state = 'disconnected';
    act(() => access.onstatechange());
    expect(app.heard.at(-1)).toEqual([noteOff, 64, 0]);
    expect(screen.getByText('MIDI is on, no keyboard yet')).toBeInTheDocument();
    expect(request).toHaveBeenCalledOnce();
  });

  it('says plainly when the browser has none', async () => {
    const app = await listening();
    await userEvent.click(screen.getByRole('button', { name: 'Use a MIDI keyboard' }));
    expect(screen.getByText('This browser has no MIDI')).toBeInTheDocument();
    expect(app.session.getState().said?.text).toContain('no MIDI');
  });

  it('can be asked for again after a refusal', async () => {
    let allowed = false;
    const access = { inputs: new Map(), onstatechange: null } as unknown as MIDIAccess;
    await listening(tune, () => (allowed ? Promise.resolve(access) : Promise.reject(new DOMException('no', 'NotAllowedError'))));
    await userEvent.click(screen.getByRole('button', { name: 'Use a MIDI keyboard' }));
    allowed = true;
    await userEvent.click(await screen.findByRole('button', { name: 'Try MIDI again' }));
    await waitFor(() => expect(screen.getByText('MIDI is on, no keyboard yet')).toBeInTheDocument());
  });
});
