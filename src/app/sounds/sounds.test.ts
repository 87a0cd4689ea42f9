// @vitest-environment node
import 'fake-indexeddb/auto';
import { createHash } from 'node:crypto';
import { afterEach, describe, expect, it } from 'vitest';
import { smallSymbols } from '../../../tests/support/smallApp.tsx';
import { smallCatalogue } from '../../../tests/support/smallCatalogue.ts';
import type { LiveSound } from '../../engine/hosts/live.ts';
import type { RecordedSound } from '../../engine/hosts/recordings.ts';
import type { TakeRequest } from '../../engine/protocol.ts';
import type { DecodedSound } from '../../notebook/decodeWav.ts';
import { openStorage } from '../../notebook/storage.ts';
import type { NotebookStore } from '../../notebook/store.ts';
import { encodeWav } from '../../notebook/wav.ts';
import { removeRecording } from '../../patch/commands/index.ts';
import type { Patch } from '../../patch/document.ts';
import { writePatch } from '../../patch/file/write.ts';
import { createApp } from '../createApp.ts';
import { outlineOf } from './drawWaveform.ts';

const quay: Patch = {
  title: 'Quay',
  blocks: [
    { id: 'p1', type: 'samplePlayer' },
    { id: 'o1', type: 'output' },
  ],
  cables: [{ from: ['p1', 'left'], to: ['o1', 'left'] }],
};
const at = ['p1', 'recording'] as const;

const wave = (frames: number, step: number): Float32Array<ArrayBuffer> =>
  Float32Array.from({ length: frames }, (_, n) => Math.sin(n * step) / 2);
const fog = encodeWav([wave(24000, 0.05)], 48000, '16');
const gulls = encodeWav([wave(9000, 0.3), wave(9000, 0.4)], 44100, '24');
const sha = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
const file = (name: string, bytes: Uint8Array) => ({
  name,
  size: bytes.length,
  arrayBuffer: async () => bytes.slice().buffer as ArrayBuffer,
});
const text = new TextEncoder().encode('no sound at all');

let databases = 0;
let database = '';
const open: NotebookStore[] = [];
afterEach(() => {
  for (const store of open.splice(0)) store.close();
});

interface Heard {
  readonly requests: [Omit<TakeRequest, 'number'>, ReadonlyMap<string, RecordedSound>][];
  readonly live: ReadonlyMap<string, RecordedSound>[];
}

/** The page loaded anew over the same storage. */
async function load(decode: (bytes: ArrayBuffer) => Promise<DecodedSound | undefined> = async () => undefined) {
  const heard: Heard = { requests: [], live: [] };
  const live = {
    context: { sampleRate: 48000 },
    latency: 0,
    setVolume: () => undefined,
    setPatch: () => undefined,
    setSounds: (sounds: ReadonlyMap<string, RecordedSound>) => void heard.live.push(sounds),
    play: async () => undefined,
  } as unknown as LiveSound;
  const app = createApp({
    specs: [...smallCatalogue.values()],
    symbols: smallSymbols,
    sound: {
      openLive: async () => live,
      openTakes: () => ({ render: (request, sounds = new Map()) => void heard.requests.push([request, sounds]), cancel: () => undefined }),
    },
    soundFiles: { decode, digest: async (bytes) => sha(bytes) },
    keep: {
      openStore: async () => {
        const store = await openStorage({ name: database });
        open.push(store);
        return store;
      },
    },
    demos: () => [quay],
  });
  await app.notebook.start();
  return { ...app, heard };
}
type Page = Awaited<ReturnType<typeof load>>;
const fresh = (decode?: (bytes: ArrayBuffer) => Promise<DecodedSound | undefined>): Promise<Page> => {
  database = `sounds${++databases}`;
  return load(decode);
};
const patchOf = (page: Page): Patch => page.session.getState().patch;
const statusOf = (page: Page): Record<string, string> => Object.fromEntries(page.sounds.getState().files);
async function until(found: () => boolean): Promise<void> {
  for (let i = 0; i < 400 && !found(); i++) await new Promise((resolve) => setTimeout(resolve, 5));
  expect(found()).toBe(true);
}

describe('a sound file that is chosen', () => {
  it('is named by the patch, decoded, and there again after a reload', async () => {
    const page = await fresh();
    await page.sounds.choose(at, file('Fog horn.wav', fog));
    const entry = { id: 'fog-horn', name: 'Fog horn.wav', sha256: sha(fog), seconds: 0.5 };
    expect(patchOf(page).recordings).toEqual([entry]);
    expect(patchOf(page).blocks[0]?.settings).toEqual({ recording: 'fog-horn' });
    expect(statusOf(page)).toEqual({ [sha(fog)]: 'ready' });
    expect(page.sounds.find(sha(fog))?.channels[0]).toHaveLength(24000);
    await page.notebook.flush();

    const again = await load();
    expect(patchOf(again).recordings).toEqual([entry]);
    await until(() => statusOf(again)[sha(fog)] === 'ready');
    expect(again.sounds.find(sha(fog))).toEqual(page.sounds.find(sha(fog)));
    expect(await again.sounds.wav(sha(fog))).toEqual(fog);
  });

  it('is one step to undo, and comes back by redo', async () => {
    const page = await fresh();
    await page.sounds.choose(at, file('Fog horn.wav', fog));
    page.session.undo();
    expect(patchOf(page)).toEqual(quay);
    expect(statusOf(page)).toEqual({});
    expect(page.sounds.ready().size).toBe(0);
    page.session.redo();
    await until(() => statusOf(page)[sha(fog)] === 'ready');
  });

  it('reaches takes and the live sound', async () => {
    const page = await fresh();
    await page.listening.listen();
    await page.sounds.choose(at, file('Fog horn.wav', fog));
    expect(page.heard.live.at(-1)?.get(sha(fog))?.rate).toBe(48000);
    await until(() => page.heard.requests.some(([{ patch }]) => patch.recordings));
    const [request, sounds] = page.heard.requests.at(-1) ?? [];
    expect(request?.patch).toEqual(patchOf(page));
    expect(sounds?.get(sha(fog))?.channels[0]).toHaveLength(24000);
    page.session.run(removeRecording(patchOf(page), page.catalogue, { at }));
    expect(page.heard.live.at(-1)?.size).toBe(0);
  });

  it('that is compressed becomes a WAV of two channels at most, the same ever after', async () => {
    const three: DecodedSound = { rate: 48000, channels: [wave(4800, 0.1), wave(4800, 0.2), wave(4800, 0.3)] };
    const page = await fresh(async (bytes) => (bytes.byteLength === text.length ? three : undefined));
    await page.sounds.choose(at, file('Gulls.mp3', text));
    const [recording] = patchOf(page).recordings ?? [];
    expect(recording).toMatchObject({ name: 'Gulls.mp3', seconds: 0.1 });
    const kept = await page.sounds.wav(recording?.sha256 ?? '');
    expect(kept).toEqual(encodeWav(three.channels.slice(0, 2), 48000, '24'));
    expect(recording?.sha256).toBe(sha(kept as Uint8Array));
  });

  it.each([
    ['no sound', file('Letter.txt', text), 'The browser cannot read "Letter.txt" as a sound file.'],
    ['11 MB', { ...file('Tide.wav', fog), size: 11_000_000 }, 'A sound file has at most 10 MB; this one has 11.0 MB.'],
    [
      '31 s',
      file('Tide.wav', encodeWav([new Float32Array(8000 * 31)], 8000, '16')),
      'A sound file lasts 30 seconds at most; this one lasts 31.0.',
    ],
    [
      'a file that has gone',
      { ...file('Tide.wav', fog), arrayBuffer: () => Promise.reject(new Error()) },
      '"Tide.wav" could not be read from the disk.',
    ],
  ])('is refused with a sentence: %s', async (_what, chosen, say) => {
    const page = await fresh();
    await page.sounds.choose(at, chosen);
    expect(patchOf(page)).toEqual(quay);
    expect(page.sounds.getState()).toMatchObject({ reading: undefined, trouble: { at: 'p1.recording', say } });
    expect(page.session.getState().said).toMatchObject({ text: say, kind: 'refusal' });
    await page.sounds.choose(at, file('Fog.wav', fog));
    expect(page.sounds.getState().trouble).toBeUndefined();
  });

  it('is refused when what was compressed lasts too long', async () => {
    const page = await fresh(async () => ({ rate: 8000, channels: [new Float32Array(8000 * 40)] }));
    await page.sounds.choose(at, file('Tide.mp3', text));
    expect(page.sounds.getState().trouble?.say).toBe('A sound file lasts 30 seconds at most; this one lasts 40.0.');
  });

  it('does not get into another patch that was opened meanwhile', async () => {
    const page = await fresh();
    const chosen = page.sounds.choose(at, file('Fog.wav', fog));
    page.notebook.create();
    await chosen;
    expect(patchOf(page).recordings).toBeUndefined();
  });
});

describe('a patch file that names a sound file', () => {
  const entry = { id: 'fog', name: 'Fog horn.wav', sha256: sha(fog), seconds: 0.5 };
  const named: Patch = {
    ...quay,
    title: 'From afar',
    recordings: [entry],
    blocks: [{ id: 'p1', type: 'samplePlayer', settings: { recording: 'fog' } }],
    cables: [],
  };
  const imported = async (): Promise<Page> => {
    const page = await fresh();
    await page.notebook.importFiles([file('afar.patch.json', new TextEncoder().encode(writePatch(named)))]);
    await until(() => statusOf(page)[sha(fog)] === 'missing');
    return page;
  };

  it('says that it is missing, on the screen and among the findings', async () => {
    const page = await imported();
    await until(() => page.session.getState().said?.text.includes('not in this notebook') ?? false);
    expect(page.session.getState().said?.text).toBe(
      'The sound file "Fog horn.wav" is not in this notebook. Choose it again in the settings of the block that plays it.',
    );
    await until(() => page.checks.getState().findings.some(({ id }) => id === 'sound-file-missing'));
  });

  it('takes the same file again by its contents, whatever it is called, without a change to the patch', async () => {
    const page = await imported();
    const before = patchOf(page);
    await page.sounds.choose(at, file('renamed.wav', fog));
    expect(patchOf(page)).toBe(before);
    expect(statusOf(page)).toEqual({ [sha(fog)]: 'ready' });
    expect(page.session.getState().said?.text).toBe('"Fog horn.wav" is there again.');
    await until(() => !page.checks.getState().findings.some(({ id }) => id === 'sound-file-missing'));
  });

  it('takes another one in its place, says so, and can undo it', async () => {
    const page = await imported();
    await page.sounds.choose(at, file('Gulls.wav', gulls));
    expect(patchOf(page).recordings).toEqual([{ id: 'gulls', name: 'Gulls.wav', sha256: sha(gulls), seconds: 9000 / 44100 }]);
    expect(page.session.getState().said?.text).toBe(
      'This is another sound file than "Fog horn.wav", which was missing; it is played in its place. Undo takes that back.',
    );
    page.session.undo();
    expect(patchOf(page).recordings).toEqual([entry]);
  });

  it('finds it at once where the notebook has it already', async () => {
    const page = await fresh();
    await page.sounds.choose(at, file('Fog.wav', fog));
    await page.notebook.importFiles([file('afar.patch.json', new TextEncoder().encode(writePatch(named)))]);
    await until(() => statusOf(page)[sha(fog)] === 'ready');
    expect(patchOf(page).title).toBe('From afar');
  });
});

it('the outline of a sound holds its least and greatest sample of both sides, column by column', () => {
  const outline = outlineOf({ rate: 1, channels: [Float32Array.of(0, 0.5, -0.25, 0.125), Float32Array.of(0, 0, 0, -1)] }, 2);
  expect([...outline]).toEqual([0, 0.5, -1, 0.125]);
  expect([...outlineOf({ rate: 1, channels: [Float32Array.of(0.5)] }, 3)]).toEqual([0.5, 0.5, 0.5, 0.5, 0.5, 0.5]);
});
