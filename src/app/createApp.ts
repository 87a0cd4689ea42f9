/** The page's stores around a catalogue. */
import { createJournal, type JournalStore } from '../notebook/journal.ts';
import { type Silenced, silencedOf } from '../notebook/record.ts';
import { createMemoryStore } from '../notebook/store.ts';
import { type BlockSpec, type Catalogue, createCatalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import { sameData } from '../patch/sameData.ts';
import type { BlockSymbol } from '../patch/symbol.ts';
import type { Answers } from './answers/answers.ts';
import type { App } from './app.ts';
import { createEar } from './ear/ear.ts';
import { createEarTakes } from './ear/earTakes.ts';
import { createExplaining } from './explain/explaining.ts';
import { type ChecksParts, createChecks, whenIdle } from './findings/checks.ts';
import { createReasons } from './findings/reasons.ts';
import { createSilence } from './findings/silence.ts';
import { createTakeChecks } from './findings/takeChecks.ts';
import { freshId } from './freshId.ts';
import { createKeyboard } from './listen/keyboard.ts';
import { createListening, type ListeningParts } from './listen/listening.ts';
import { createLiveInput, type InputAccess } from './listen/liveInput.ts';
import { createMidi, type MidiParts } from './listen/midi.ts';
import { createPlaying } from './listen/playing.ts';
import { createProbeHub } from './listen/probeHub.ts';
import { createNotebook } from './notebook/notebook.ts';
import type { Notebook, NotebookParts } from './notebook/notebookTypes.ts';
import { isTyping } from './sketch/useSketchKeys.ts';
import { createSounds, type Sounds, type SoundsParts } from './sounds/sounds.ts';
import { createHighlight } from './store/highlight.ts';
import { createMarks } from './store/marks.ts';
import { createSession, type Session } from './store/session.ts';
import { createTraceHub } from './store/traces.ts';
import { createView, type KeyValueStore } from './store/view.ts';
import { createComparison } from './takePlayer/comparison.ts';
import { createHeardSounds } from './takePlayer/heardSounds.ts';
import { createTakePlayer, type TakePlayerParts } from './takePlayer/takePlayer.ts';

export interface AppParts {
  readonly specs: readonly BlockSpec[];
  readonly symbols: Readonly<Record<string, BlockSymbol>>;
  readonly docs?: Readonly<Record<string, string>>;
  readonly patch?: Patch;
  readonly kept?: KeyValueStore | undefined;
  /** Live sound and takes; left out where there is no sound card (tests). */
  readonly sound?: Pick<ListeningParts, 'openLive' | 'openTakes'> & Partial<Pick<TakePlayerParts, 'openPlayer'>>;
  /** How sound files are read; left out where the page cannot (tests): then only WAV files can be, and none is chosen. */
  readonly soundFiles?: Pick<SoundsParts, 'decode' | 'digest'>;
  /** The browser's inputs; left out where it has none. */
  readonly inputAccess?: InputAccess | undefined;
  /** Asks the browser for MIDI; left out where it has none. */
  readonly requestMidi?: MidiParts['request'];
  /** Where the notebook is kept; left out, it lasts as long as the page. */
  readonly keep?: {
    readonly openStore: NotebookParts['openStore'];
    readonly journal?: JournalStore | undefined;
    readonly tab?: NotebookParts['tab'];
  };
  /** Answers that need a rendering; left out where there is no worker (tests). */
  readonly answers?: Answers;
  /** What a new notebook begins with. */
  readonly demos?: (catalogue: Catalogue) => readonly Patch[];
}

const noSound = () => Promise.reject(new Error('There is no sound here.'));

const silentParts: NonNullable<AppParts['sound']> = {
  openLive: noSound,
  openTakes: () => ({ render: () => undefined, cancel: () => undefined }),
};

const noAnswers: Answers = { ask: () => Promise.reject(new Error('There is nothing here that could render it.')) };

const noSoundFiles: Pick<SoundsParts, 'decode' | 'digest'> = { decode: async () => undefined, digest: async () => undefined };

export function createApp(parts: AppParts): App {
  const { specs, symbols, docs = {}, patch, kept, sound = silentParts, keep, demos } = parts;
  const catalogue = createCatalogue(specs);
  const session = createSession(patch);
  const traces = createTraceHub();
  const probes = createProbeHub();
  const marks = createMarks();
  const view = createView(kept);
  const notebook = createNotebook({
    session,
    catalogue,
    openStore: keep?.openStore ?? (async () => createMemoryStore()),
    journal: createJournal(keep?.journal, freshId()),
    demos: demos?.(catalogue) ?? [],
    ...(keep?.tab && { tab: keep.tab }),
    now: () => Date.now(),
    freshId,
  });
  const sounds = createSounds({ session, catalogue, notebook, ...(parts.soundFiles ?? noSoundFiles) });
  const listening = createListening({ session, specs, catalogue, traces, probes, sounds, ...sound });
  const answers = parts.answers ?? noAnswers;
  const silence = createSilence({ session, listening, answers, sounds });
  const take = createTakeChecks({ session, listening, answers, sounds, whenIdle });
  const playing = createPlaying({ session, catalogue, listening });
  const ear = createEar({ session, catalogue, listening, sounds, takes: createEarTakes(catalogue, sound.openTakes) });
  const heard = createHeardSounds(listening, ear);
  const comparison = createComparison({ heard, later: (work) => void setTimeout(work, 0) });
  const takePlayer = createTakePlayer({ session, listening, ear, heard, comparison, openPlayer: sound.openPlayer ?? noSound });
  return {
    specs,
    catalogue,
    symbols,
    docs,
    session,
    view,
    traces,
    marks,
    checks: createChecks({
      session,
      catalogue,
      marks,
      missing: missingOf(sounds),
      heard: silence,
      take,
      silenced: silencedIn(notebook, session),
      whenIdle,
    }),
    takeChecks: take,
    reasons: createReasons({ session, answers, sounds }),
    probes,
    sounds,
    listening,
    ear,
    heardSounds: heard,
    comparison,
    takePlayer,
    liveInput: createLiveInput({ session, catalogue, listening, access: parts.inputAccess }),
    playing,
    keyboard: createKeyboard({ playing, view, isTyping }),
    midi: createMidi({ playing, session, request: parts.requestMidi }),
    notebook,
    answers,
    silence,
    explaining: createExplaining({ session, listening, answers, sounds }),
    highlight: createHighlight(),
    sketch: { current: undefined },
  };
}

/** What is silenced in the open patch. */
function silencedIn(notebook: Notebook, session: Session): NonNullable<ChecksParts['silenced']> {
  const list = (): readonly Silenced[] => silencedOf(notebook.getState().records.get(session.getState().opened.id ?? ''));
  let known = list();
  return {
    list,
    onChange: (listener) =>
      void notebook.subscribe(() => {
        const now = list();
        if (sameData(now, known)) return;
        known = now;
        listener();
      }),
  };
}

/** The sound files that are not there, for the checks. */
function missingOf(sounds: Sounds): ChecksParts['missing'] {
  return {
    names: () => new Set([...sounds.getState().files].flatMap(([sha256, status]) => (status === 'missing' ? [sha256] : []))),
    onChange: (listener) => void sounds.subscribe((now, before) => now.files !== before.files && listener()),
  };
}
