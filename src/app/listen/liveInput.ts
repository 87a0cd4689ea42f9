/**
 * The microphone or line input, for patches with a live input. It is asked for only when the person presses the button for it, open
 * only while the sound is on, and goes nowhere but into the patch. Another patch starts without it.
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Catalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import type { Session } from '../store/session.ts';
import type { Listening } from './listening.ts';

export interface InputDevice {
  readonly id: string;
  readonly label: string;
}

export interface LiveInputState {
  /** 'waiting': wanted, and opened as soon as the sound is on. 'asking': the browser asks for permission. */
  readonly status: 'off' | 'waiting' | 'asking' | 'on';
  /** Why it is not open: a whole sentence. */
  readonly trouble: string | undefined;
  /** Inputs there are, once the browser tells. */
  readonly devices: readonly InputDevice[];
  /** Id of the one that is open or will be; '' for the browser's own choice. */
  readonly device: string;
}

export interface LiveInput extends StoreApi<LiveInputState> {
  /** Call from a click or key press. */
  use(): void;
  leave(): void;
  choose(device: string): void;
}

/** What is needed of `navigator.mediaDevices`. */
export type InputAccess = Pick<MediaDevices, 'getUserMedia' | 'enumerateDevices'>;

export interface LiveInputParts {
  readonly session: Session;
  readonly catalogue: Catalogue;
  readonly listening: Pick<Listening, 'getState' | 'subscribe' | 'setInput'>;
  /** Undefined where the browser has none. */
  readonly access: InputAccess | undefined;
}

export function createLiveInput({ session, catalogue, listening, access }: LiveInputParts): LiveInput {
  const store = createStore<LiveInputState>()(() => ({ status: 'off', trouble: undefined, devices: [], device: '' }));
  const { getState, setState } = store;
  let wanted = false;
  let stream: MediaStream | undefined;
  /** Grows with each request, so that an answer to an older one is let go. */
  let request = 0;
  let told = false;

  const has = (patch: Patch): boolean => patch.blocks.some(({ type }) => catalogue.get(type)?.liveInput);
  const sounds = (): boolean => listening.getState().sound === 'on';
  const isDue = (): boolean => wanted && sounds() && has(session.getState().patch);

  function shut(): void {
    request++;
    if (!stream) return;
    for (const track of stream.getTracks()) {
      track.onended = null;
      track.stop();
    }
    stream = undefined;
    listening.setInput(undefined);
  }

  function fail(say: string): void {
    wanted = false;
    shut();
    setState({ status: 'off', trouble: say });
    session.say(say, 'refusal');
  }

  async function open(): Promise<void> {
    const mine = ++request;
    setState({ status: 'asking', trouble: undefined });
    try {
      if (!access) throw new DOMException('', 'SecurityError');
      const { device } = getState();
      const opened = await access.getUserMedia({ audio: constraints(device), video: false });
      if (mine !== request) {
        for (const track of opened.getTracks()) track.stop();
        return;
      }
      stream = opened;
      const [track] = opened.getAudioTracks();
      if (track) track.onended = () => fail('The input was unplugged or taken away. Press the button to use it again.');
      listening.setInput(opened);
      const devices = await inputs(access);
      if (mine === request) setState({ status: 'on', devices, device: track?.getSettings().deviceId ?? device });
    } catch (error) {
      if (mine === request) fail(troubleText(error));
    }
  }

  /** Opens or shuts it, as sound, patch and wish have it now. */
  function follow(): void {
    const { status } = getState();
    if (isDue()) {
      if (status !== 'asking' && !stream) void open();
      return;
    }
    shut();
    const next = wanted ? 'waiting' : 'off';
    if (status !== next) setState({ status: next });
  }

  session.subscribe((now, before) => {
    if (now.opened.count !== before.opened.count) {
      wanted = false;
      told = false;
      setState({ trouble: undefined });
      follow();
    } else if (now.patch.blocks !== before.patch.blocks) follow();
  });
  listening.subscribe((now, before) => {
    if (now.sound === before.sound) return;
    follow();
    if (now.sound !== 'on' || wanted || told || !has(session.getState().patch)) return;
    told = true;
    session.say('The live input is shut until you press "Use the microphone or line input" in its settings.');
  });

  return Object.assign(store, {
    use() {
      wanted = true;
      setState({ trouble: undefined });
      follow();
    },
    leave() {
      wanted = false;
      follow();
    },
    choose(device: string) {
      setState({ device });
      if (!stream) return;
      shut();
      follow();
    },
  });
}

/** As it comes from the plug: what browsers do to make speech clearer would bend the sound. */
function constraints(device: string): MediaTrackConstraints {
  return {
    echoCancellation: false,
    noiseSuppression: false,
    autoGainControl: false,
    channelCount: { ideal: 2 },
    ...(device !== '' && { deviceId: { exact: device } }),
  };
}

async function inputs(access: InputAccess): Promise<readonly InputDevice[]> {
  const devices = await access.enumerateDevices().catch(() => []);
  return devices
    .filter(({ kind, deviceId }) => kind === 'audioinput' && deviceId !== '')
    .map(({ deviceId, label }, i) => ({ id: deviceId, label: label || `Input ${i + 1}` }));
}

function troubleText(error: unknown): string {
  switch (error instanceof Error ? error.name : '') {
    case 'NotAllowedError':
      return 'The browser has no permission to use the microphone or line input. Allow it for this page (the sign beside the address), then press the button again.';
    case 'NotFoundError':
    case 'OverconstrainedError':
      return 'There is no such microphone or line input. Plug one in, or choose another one.';
    case 'NotReadableError':
    case 'AbortError':
      return 'The input does not answer: another program may be using it.';
    case 'NotSupportedError':
      return 'This browser cannot use an input that runs at another rate than the output. Set both to 48 kHz in the system.';
    default:
      return 'This browser gives no microphone or line input here. Open the page over https or on localhost in a current browser.';
  }
}
