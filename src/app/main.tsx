import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { docs } from '../blocks/docs.gen.ts';
import { specs } from '../blocks/specs.gen.ts';
import { symbols } from '../blocks/symbols.gen.ts';
import { AppContext } from './app.ts';
import { createApp } from './createApp.ts';
import { Shell } from './Shell.tsx';
import { followTheme } from './theme.ts';
import './style/tokens.css';
import './style/base.css';
import './style/shell.css';

const root = document.getElementById('root');
if (!root) throw new Error('index.html has no #root');

const app = createApp({ specs, symbols, docs, kept: localStorage });
followTheme(app.view, document.documentElement);

createRoot(root).render(
  <StrictMode>
    <AppContext value={app}>
      <Shell />
    </AppContext>
  </StrictMode>,
);
