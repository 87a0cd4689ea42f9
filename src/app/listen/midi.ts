/**
 * MIDI keyboards by way of the browser. Access is asked for only when the person wants it; keyboards may be plugged in and
 * out at any time. Messages as in the MIDI 1.0 Detailed Specification, table 1 (status bytes) and table 3 (controllers).
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Session } from '../store/session.ts';
import type { Playing } from './playing.ts';

export interface MidiState {
  /** 'missing': the browser has no MIDI; 'refused': it, or the person, did not allow it. */
  readonly status: 'unasked' | 'asking' | 'ready' | 'missing' | 'refused';
  /** Names of the keyboards that are plugged in. */
  readonly devices: readonly string[];
}

export interface Midi extends StoreApi<MidiState> {
  /** Call from a press. */
  ask(): Promise<void>;
}

export interface MidiParts {
  readonly playing: Pick<Playing, 'press' | 'release' | 'releaseAll' | 'bend' | 'wheel'>;
  readonly session: Pick<Session, 'say'>;
  /** The browser's request; undefined where there is none. */
  readonly request: (() => Promise<MIDIAccess>) | undefined;
}

export function createMidi({ playing, session, request }: MidiParts): Midi {
  const store = createStore<MidiState>()(() => ({ status: 'unasked', devices: [] }));
  const { getState, setState } = store;

  function follow(access: MIDIAccess): void {
    const connected = [...access.inputs.values()].filter(({ state }) => state === 'connected');
    for (const input of connected) {
      input.onmidimessage = ({ data }) => {
        if (data) receive(playing, sourceOf(input), data);
      };
    }
    for (const input of access.inputs.values()) {
      if (input.state === 'disconnected') playing.releaseAll(sourceOf(input));
    }
    const devices = connected.map(({ name }) => name || 'MIDI keyboard');
    const before = getState().devices;
    setState({ status: 'ready', devices });
    for (const device of devices) if (!before.includes(device)) session.say(`${device} plays.`);
    for (const device of before) if (!devices.includes(device)) session.say(`${device} was unplugged.`);
  }

  return Object.assign(store, {
    async ask() {
      if (getState().status === 'asking' || getState().status === 'ready') return;
      if (!request) {
        setState({ status: 'missing' });
        session.say(
          'This browser has no MIDI, or not at this address: it needs https or localhost. The computer keys play as well.',
          'refusal',
        );
        return;
      }
      setState({ status: 'asking' });
      try {
        const access = await request();
        access.onstatechange = () => follow(access);
        follow(access);
        if (getState().devices.length === 0) session.say('MIDI is on. Plug a keyboard in, and it plays.');
      } catch {
        setState({ status: 'refused' });
        session.say('The browser did not allow MIDI; its site settings can change that.', 'refusal');
      }
    },
  });
}

const sourceOf = ({ id }: MIDIInput): string => `midi ${id} `;

const CENTRE = 8192;

/** One message of a keyboard. Clock, active sensing and all else that plays nothing is passed over. */
export function receive(playing: MidiParts['playing'], source: string, [status = 0, first = 0, second = 0]: Uint8Array): void {
  const channel = status & 0x0f;
  const held = `${source}${channel} ${first}`;
  switch (status & 0xf0) {
    case 0x90:
      // velocity 0 is a note off
      if (second > 0) playing.press(held, first, second / 127);
      else playing.release(held);
      break;
    case 0x80:
      playing.release(held);
      break;
    case 0xb0:
      if (first === 1) playing.wheel(second / 127);
      // all sound off, all notes off and the mode messages that imply it
      else if (first === 120 || first >= 123) playing.releaseAll(`${source}${channel} `);
      break;
    case 0xe0: {
      // 14 bits, low byte first; one step fewer above the middle than below it
      const bend = (second << 7) + first - CENTRE;
      playing.bend(bend < 0 ? bend / CENTRE : bend / (CENTRE - 1));
      break;
    }
  }
}
