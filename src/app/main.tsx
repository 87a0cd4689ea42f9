import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { docs } from '../blocks/docs.gen.ts';
import { specs } from '../blocks/specs.gen.ts';
import { symbols } from '../blocks/symbols.gen.ts';
import { LiveSound } from '../engine/hosts/live.ts';
import { Takes } from '../engine/hosts/takes.ts';
import { AppContext } from './app.ts';
import { createApp } from './createApp.ts';
import { Shell } from './Shell.tsx';
import { followTheme } from './theme.ts';
import './style/tokens.css';
import './style/base.css';
import './style/shell.css';

const root = document.getElementById('root');
if (!root) throw new Error('index.html has no #root');

const app = createApp({
  specs,
  symbols,
  docs,
  kept: localStorage,
  sound: { openLive: LiveSound.open, openTakes: (listener) => new Takes(listener) },
});
followTheme(app.view, document.documentElement);

createRoot(root).render(
  <StrictMode>
    <AppContext value={app}>
      <Shell />
    </AppContext>
  </StrictMode>,
);

// For looking in from the browser's console while developing.
if (import.meta.env.DEV) Object.assign(window, { app });
