/**
 * The sound files of the open patch: decoded once, kept in the notebook, chosen by hand. Samples never pass through the page's state,
 * which only says of each file whether it is there.
 */
import { createStore, type StoreApi } from 'zustand/vanilla';
import { checkSoundBytes, checkSoundSeconds, type DecodedSound, readSoundFile } from '../../notebook/decodeWav.ts';
import { encodeWav } from '../../notebook/wav.ts';
import type { Catalogue } from '../../patch/blockSpec.ts';
import { addRecording } from '../../patch/commands/index.ts';
import { type Patch, type Place, placeName, type Recording } from '../../patch/document.ts';
import { isRefusal, type Refusal, refuse } from '../../patch/refusal.ts';
import type { Notebook } from '../notebook/notebookTypes.ts';
import type { Session } from '../store/session.ts';

/** 'missing': the patch names it, and this browser does not have it. */
export type SoundStatus = 'loading' | 'ready' | 'missing';

export interface SoundsState {
  /** By sha256, for the recordings of the open patch. */
  readonly files: ReadonlyMap<string, SoundStatus>;
  /** Setting ("block.setting") for which a file is being read. */
  readonly reading: string | undefined;
  /** Why the last file chosen for a setting was refused. */
  readonly trouble: { readonly at: string; readonly say: string } | undefined;
}

/** What is needed of a `File`. */
export interface ChosenFile {
  readonly name: string;
  readonly size: number;
  arrayBuffer(): Promise<ArrayBuffer>;
}

export interface Sounds extends StoreApi<SoundsState> {
  /** Undefined until it is ready. */
  find(sha256: string): DecodedSound | undefined;
  /** All that are ready, by sha256; the same object until something changes. */
  ready(): ReadonlyMap<string, DecodedSound>;
  /** Has a setting play a file, which is kept in the notebook. Resolves when it does, or when it was said why not. */
  choose(at: Place, file: ChosenFile): Promise<void>;
  /** The file as it is kept: a WAV. */
  wav(sha256: string): Promise<Uint8Array<ArrayBuffer> | undefined>;
}

export interface SoundsParts {
  readonly session: Session;
  readonly catalogue: Catalogue;
  readonly notebook: Pick<Notebook, 'soundFile' | 'keepSoundFile'>;
  /** The browser's decoder, for whatever is no WAV; undefined where it cannot read the file either. Any number of channels. */
  readonly decode: (bytes: ArrayBuffer) => Promise<DecodedSound | undefined>;
  /** 64 hexadecimal digits; undefined where the browser does not tell, on a page that is not secure. */
  readonly digest: (bytes: Uint8Array<ArrayBuffer>) => Promise<string | undefined>;
}

interface ReadFile {
  /** As it will be kept. */
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly sound: DecodedSound;
}

const nothing: ReadonlyMap<string, DecodedSound> = new Map();

export function createSounds(parts: SoundsParts): Sounds {
  const { session, catalogue, notebook } = parts;
  const store = createStore<SoundsState>()(() => ({ files: new Map(), reading: undefined, trouble: undefined }));
  const { getState, setState } = store;
  let decoded = nothing;

  const named = (patch: Patch): ReadonlySet<string> => new Set((patch.recordings ?? []).map(({ sha256 }) => sha256));
  const mark = (sha256: string, status: SoundStatus): void => setState({ files: new Map(getState().files).set(sha256, status) });

  function take(sha256: string, sound: DecodedSound): void {
    decoded = new Map(decoded).set(sha256, sound);
    mark(sha256, 'ready');
  }

  async function load(sha256: string): Promise<void> {
    mark(sha256, 'loading');
    const bytes = await notebook.soundFile(sha256);
    if (!named(session.getState().patch).has(sha256) || getState().files.get(sha256) === 'ready') return;
    const sound = bytes && readSoundFile(bytes);
    if (sound && !isRefusal(sound)) take(sha256, sound);
    else mark(sha256, 'missing');
  }

  /** Keeps what the patch names and fetches what is new. */
  function follow(patch: Patch): void {
    const wanted = named(patch);
    const gone = [...getState().files.keys()].filter((sha256) => !wanted.has(sha256));
    if (gone.length > 0) {
      decoded = new Map([...decoded].filter(([sha256]) => wanted.has(sha256)));
      setState({ files: new Map([...getState().files].filter(([sha256]) => wanted.has(sha256))) });
    }
    for (const sha256 of wanted) if (!getState().files.has(sha256)) void load(sha256);
  }

  /** Says once, when a patch was opened, which of its files are not there. */
  async function announce(patch: Patch, count: number): Promise<void> {
    await Promise.all([...named(patch)].map((sha256) => settled(sha256)));
    if (session.getState().opened.count !== count) return;
    const missing = (patch.recordings ?? []).filter(({ sha256 }) => getState().files.get(sha256) === 'missing');
    if (missing.length > 0) session.say(missingText(missing));
  }

  /** Resolves when a file is no longer being fetched. */
  function settled(sha256: string): Promise<void> {
    const isSettled = (): boolean => getState().files.get(sha256) !== 'loading';
    if (isSettled()) return Promise.resolve();
    return new Promise((resolve) => {
      const stop = store.subscribe(() => {
        if (!isSettled()) return;
        stop();
        resolve();
      });
    });
  }

  session.subscribe((now, before) => {
    const opened = now.opened.count !== before.opened.count;
    if (opened) setState({ reading: undefined, trouble: undefined });
    if (opened || now.patch.recordings !== before.patch.recordings) follow(now.patch);
    if (opened && now.patch.recordings) void announce(now.patch, now.opened.count);
  });
  follow(session.getState().patch);

  async function read(file: ChosenFile): Promise<ReadFile | Refusal> {
    const tooLarge = checkSoundBytes(file.size);
    if (tooLarge) return tooLarge;
    const buffer = await file.arrayBuffer();
    const bytes = new Uint8Array(buffer);
    const sound = readSoundFile(bytes);
    if (!isRefusal(sound)) return { bytes, sound };
    if (sound.refused === 'too-large') return sound;
    // The decoder may take the buffer away.
    const other = await parts.decode(buffer);
    return other ? converted(other) : refuse('not-a-sound', `The browser cannot read "${file.name}" as a sound file.`);
  }

  async function choose(at: Place, file: ChosenFile): Promise<Refusal | undefined> {
    const { count } = session.getState().opened;
    const result = await read(file).catch((): Refusal => refuse('not-a-sound', `"${file.name}" could not be read from the disk.`));
    if (isRefusal(result)) return result;
    const sha256 = await parts.digest(result.bytes);
    if (!sha256) return refuse('not-usable-here', 'Sound files can be chosen only where the page is opened over https or on localhost.');
    await notebook.keepSoundFile(sha256, result.bytes);
    const { patch, opened } = session.getState();
    if (opened.count !== count || !patch.blocks.some(({ id }) => id === at[0])) return undefined;
    const { channels, rate } = result.sound;
    const before = recordingAt(patch, at);
    if (before?.sha256 === sha256) {
      if (getState().files.get(sha256) === 'missing') session.say(`"${before.name}" is there again.`);
      take(sha256, result.sound);
      return undefined;
    }
    const wasMissing = before && getState().files.get(before.sha256) === 'missing';
    const recording = { name: file.name || 'Sound', sha256, seconds: (channels[0]?.length ?? 0) / rate };
    if (!session.run(addRecording(patch, catalogue, { at, recording }))) return undefined;
    take(sha256, result.sound);
    if (wasMissing) {
      session.say(`This is another sound file than "${before.name}", which was missing; it is played in its place. Undo takes that back.`);
    }
    return undefined;
  }

  return Object.assign(store, {
    find: (sha256: string) => decoded.get(sha256),
    ready: () => decoded,
    async choose(at: Place, file: ChosenFile) {
      const name = placeName(at);
      setState({ reading: name, trouble: undefined });
      const refused = await choose(at, file);
      if (getState().reading !== name) return;
      setState({ reading: undefined, trouble: refused && { at: name, say: refused.say } });
      if (refused) session.say(refused.say, 'refusal');
    },
    wav: (sha256: string) => notebook.soundFile(sha256),
  });
}

/** What a setting plays. */
export function recordingAt(patch: Patch, [id, setting]: Place): Recording | undefined {
  const value = patch.blocks.find((block) => block.id === id)?.settings?.[setting];
  return patch.recordings?.find((recording) => recording.id === value);
}

/** Compressed sound becomes a WAV of 24 bits once and for all, so that it sounds the same everywhere. Further channels are left out. */
function converted({ rate, channels }: DecodedSound): ReadFile | Refusal {
  const frames = channels[0]?.length ?? 0;
  if (frames === 0) return refuse('not-a-sound', 'This file holds no sound.');
  const tooLong = checkSoundSeconds(frames / rate);
  if (tooLong) return tooLong;
  const bytes = encodeWav(channels.slice(0, 2), rate, '24');
  const sound = readSoundFile(bytes);
  return isRefusal(sound) ? sound : { bytes, sound };
}

function missingText(missing: readonly Recording[]): string {
  const names = missing.map(({ name }) => `"${name}"`).join(', ');
  return missing.length === 1
    ? `The sound file ${names} is not in this notebook. Choose it again in the settings of the block that plays it.`
    : `The sound files ${names} are not in this notebook. Choose them again in the settings of the blocks that play them.`;
}
