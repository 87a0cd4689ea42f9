// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { createStore } from 'zustand/vanilla';
import { type BlockSpec, createCatalogue } from '../../patch/blockSpec.ts';
import { removeBlocks } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import { createSession } from '../store/session.ts';
import type { ListeningState } from './listening.ts';
import { createLiveInput, type InputAccess } from './liveInput.ts';

const spec: BlockSpec = {
  type: 'mic',
  group: 'sound',
  title: 'Mic',
  say: '',
  part: { one: '', many: '' },
  stem: 'mic',
  inputs: [],
  outputs: [{ id: 'left', title: 'Left', kind: 'audio' }],
  settings: [],
  keySettings: [],
  liveInput: true,
};
const catalogue = createCatalogue([spec]);
const harbour: Patch = { blocks: [{ id: 'mic1', type: 'mic' }], cables: [] };

interface Track {
  stopped: boolean;
  onended: (() => void) | null;
}

/** The page with a browser that answers with a stream or an error, or has no inputs at all. */
function stage(patch: Patch = harbour, answer: 'yes' | 'none' | Error = 'yes') {
  const session = createSession(patch);
  const listening = createStore(() => ({ sound: 'off' }) as ListeningState);
  const asked: MediaStreamConstraints[] = [];
  const tracks: Track[] = [];
  const connected: (MediaStream | undefined)[] = [];
  const access = {
    getUserMedia: async (constraints: MediaStreamConstraints) => {
      asked.push(constraints);
      if (answer instanceof Error) throw answer;
      const track = {
        stopped: false,
        onended: null,
        stop() {
          track.stopped = true;
        },
        getSettings: () => ({ deviceId: 'usb' }),
      };
      tracks.push(track);
      return { getTracks: () => [track], getAudioTracks: () => [track] };
    },
    enumerateDevices: async () => [
      { kind: 'audioinput', deviceId: 'usb', label: 'USB line' },
      { kind: 'audioinput', deviceId: 'mic', label: '' },
      { kind: 'audiooutput', deviceId: 'out', label: 'Loudspeaker' },
    ],
  } as unknown as InputAccess;
  const input = createLiveInput({
    session,
    catalogue,
    listening: Object.assign(listening, { setInput: (stream: MediaStream | undefined) => void connected.push(stream) }),
    access: answer === 'none' ? undefined : access,
  });
  const sound = (state: ListeningState['sound']): void => listening.setState({ sound: state });
  const settle = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 0));
  return { session, input, asked, tracks, connected, sound, settle, said: () => session.getState().said?.text };
}

describe('the live input', () => {
  it('is never asked for before the button is pressed, and says where the button is', async () => {
    const { asked, connected, sound, settle, said } = stage();
    sound('on');
    await settle();
    expect([asked, connected]).toEqual([[], []]);
    expect(said()).toBe('The live input is shut until you press "Use the microphone or line input" in its settings.');
  });

  it('is not asked for without a block that plays it', async () => {
    const { input, asked, sound, settle, said } = stage({ blocks: [], cables: [] });
    sound('on');
    input.use();
    await settle();
    expect([asked, said()]).toEqual([[], undefined]);
  });

  it('waits for the sound, then opens as it comes from the plug', async () => {
    const { input, asked, tracks, connected, sound, settle } = stage();
    input.use();
    expect(input.getState().status).toBe('waiting');
    sound('on');
    expect(input.getState().status).toBe('asking');
    await settle();
    expect(asked).toEqual([
      { audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: { ideal: 2 } }, video: false },
    ]);
    expect(input.getState()).toEqual({
      status: 'on',
      trouble: undefined,
      device: 'usb',
      devices: [
        { id: 'usb', label: 'USB line' },
        { id: 'mic', label: 'Input 2' },
      ],
    });
    expect(connected).toHaveLength(1);
    expect(tracks[0]?.stopped).toBe(false);
  });

  it.each(['stop', 'leave', 'remove', 'open another patch'] as const)('is shut at once: %s', async (how) => {
    const { session, input, asked, tracks, connected, sound, settle } = stage();
    sound('on');
    input.use();
    await settle();
    if (how === 'stop') sound('off');
    else if (how === 'leave') input.leave();
    else if (how === 'remove') session.run(removeBlocks(session.getState().patch, catalogue, { ids: ['mic1'] }));
    else session.open({ ...harbour, title: 'Other' });
    expect(tracks[0]?.stopped).toBe(true);
    expect(connected.at(-1)).toBeUndefined();
    expect(input.getState().status).toBe(how === 'stop' || how === 'remove' ? 'waiting' : 'off');
    // It opens again by itself only where it was not shut on purpose.
    if (how === 'stop') sound('on');
    if (how === 'remove') session.undo();
    await settle();
    expect(asked).toHaveLength(how === 'stop' || how === 'remove' ? 2 : 1);
  });

  it('lets an answer go that comes too late', async () => {
    const { input, tracks, connected, sound, settle } = stage();
    sound('on');
    input.use();
    input.leave();
    await settle();
    expect(tracks[0]?.stopped).toBe(true);
    expect(connected).toEqual([]);
    expect(input.getState().status).toBe('off');
  });

  it('can be another device', async () => {
    const { input, asked, tracks, sound, settle } = stage();
    sound('on');
    input.use();
    await settle();
    input.choose('mic');
    await settle();
    expect(tracks.map(({ stopped }) => stopped)).toEqual([true, false]);
    expect(asked[1]?.audio).toMatchObject({ deviceId: { exact: 'mic' } });
  });

  it('says when it is unplugged', async () => {
    const { input, tracks, connected, sound, settle, said } = stage();
    sound('on');
    input.use();
    await settle();
    tracks[0]?.onended?.();
    expect(input.getState()).toMatchObject({
      status: 'off',
      trouble: 'The input was unplugged or taken away. Press the button to use it again.',
    });
    expect(said()).toBe(input.getState().trouble);
    expect(connected.at(-1)).toBeUndefined();
  });

  it.each([
    [new DOMException('', 'NotAllowedError'), /no permission/],
    [new DOMException('', 'NotFoundError'), /no such microphone/],
    [new DOMException('', 'NotReadableError'), /does not answer/],
    [new DOMException('', 'NotSupportedError'), /another rate/],
    ['none' as const, /https or on localhost/],
  ])('says in a sentence why it stays shut (%s)', async (answer, says) => {
    const { input, connected, sound, settle, said } = stage(harbour, answer);
    sound('on');
    input.use();
    await settle();
    expect(input.getState().status).toBe('off');
    expect(input.getState().trouble).toMatch(says);
    expect(said()).toBe(input.getState().trouble);
    expect(connected.filter((stream) => stream !== undefined)).toEqual([]);
  });
});
