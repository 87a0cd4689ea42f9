import { defineConfig } from '@playwright/test';
import { findChromium } from '../../.ci/setup.mjs';

const port = Number(process.env.E2E_PORT ?? 4300);
const executablePath = findChromium();

/** Against the built page (`npm run build`), served by a plain web server from a sub-path. */
export default defineConfig({
  testDir: '.',
  testMatch: '**/*.e2e.ts',
  outputDir: '../../test-results',
  workers: 1,
  timeout: 60_000,
  forbidOnly: Boolean(process.env.CI),
  use: {
    baseURL: `http://127.0.0.1:${port}/class/sketchbook/`,
    viewport: { width: 1280, height: 800 },
    acceptDownloads: true,
    trace: 'off',
    screenshot: 'only-on-failure',
    launchOptions: {
      ...(executablePath ? { executablePath } : {}),
      args: [
        '--no-sandbox',
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
        // A microphone that beeps, for pages that are given permission.
        '--use-fake-device-for-media-stream',
      ],
    },
  },
  projects: [{ name: 'chromium' }],
  webServer: {
    command: 'node tests/e2e/serve.mjs',
    cwd: '../..',
    env: { PORT: String(port) },
    url: `http://127.0.0.1:${port}/class/sketchbook/`,
    reuseExistingServer: false,
  },
});
