import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { docs } from '../blocks/docs.gen.ts';
import { specs } from '../blocks/specs.gen.ts';
import { symbols } from '../blocks/symbols.gen.ts';
import { LiveSound } from '../engine/hosts/live.ts';
import { Player } from '../engine/hosts/player.ts';
import { Takes } from '../engine/hosts/takes.ts';
import { demoPatches } from '../notebook/demo/index.ts';
import { openStorage } from '../notebook/storage.ts';
import { createAnswers, openAnswersWorker } from './answers/answers.ts';
import { AppContext } from './app.ts';
import { createApp } from './createApp.ts';
import { guardLeaving } from './notebook/leaving.ts';
import { Shell } from './Shell.tsx';
import { isTyping } from './sketch/useSketchKeys.ts';
import { decodeInBrowser, digestOf } from './sounds/browser.ts';
import { VIEW_KEY } from './store/view.ts';
import { attachTakeKeys } from './takePlayer/takeKeys.ts';
import { followTheme } from './theme.ts';
import './style/tokens.css';
import './style/base.css';
import './style/shell.css';

const root = document.getElementById('root');
if (!root) throw new Error('index.html has no #root');

const SLOW_MS = 1500;

/** Where cookies are blocked, the mere mention of a storage throws. */
function allowed(storage: () => Storage): Storage | undefined {
  try {
    return storage();
  } catch {
    return undefined;
  }
}
const kept = allowed(() => localStorage);

const app = createApp({
  specs,
  symbols,
  docs,
  kept,
  sound: { openLive: LiveSound.open, openTakes: (listener) => new Takes(listener), openPlayer: Player.open },
  keep: { openStore: (onLost) => openStorage({ onLost }), journal: kept, tab: allowed(() => sessionStorage) },
  answers: createAnswers(openAnswersWorker),
  demos: demoPatches,
  soundFiles: { decode: decodeInBrowser, digest: digestOf },
  inputAccess: navigator.mediaDevices,
  requestMidi: typeof navigator.requestMIDIAccess === 'function' ? () => navigator.requestMIDIAccess() : undefined,
});
// On a first visit the probes are open where there is room for them.
const roomy = matchMedia('(min-width: 761px) and (min-height: 700px)');
if (!kept?.getItem(VIEW_KEY) && roomy.matches) app.view.setState({ trayShown: true });
followTheme(app.view, document.documentElement);
guardLeaving(app.notebook, window);
app.keyboard.attach(window);
attachTakeKeys({ ...app, isTyping }, window);
// The last patch is there before the page is, so that no empty sketch flashes up; but a slow disk does not keep the page away.
await Promise.race([app.notebook.start(), new Promise((resolve) => setTimeout(resolve, SLOW_MS))]);

createRoot(root).render(
  <StrictMode>
    <AppContext value={app}>
      <Shell />
    </AppContext>
  </StrictMode>,
);

// For looking in from the browser's console while developing.
if (import.meta.env.DEV) Object.assign(window, { app });
