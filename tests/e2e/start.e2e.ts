import { spawn } from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from '@playwright/test';

const start = join(dirname(fileURLToPath(import.meta.url)), '../../.ci/start.mjs');

test('npm start prints an address, serves the page there and stops on Ctrl-C', async ({ request }) => {
  const server = spawn(process.execPath, [start, '--built', '--no-open'], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = new Promise<number | null>((resolve) => server.once('exit', resolve));
  const address = await new Promise<string>((resolve, reject) => {
    let text = '';
    server.stdout.on('data', (data: Buffer) => {
      text += data.toString();
      const found = /http:\/\/localhost:\d+\//.exec(text);
      if (found) resolve(found[0]);
    });
    void ended.then(() => reject(new Error(`ended early: ${text}`)));
  });
  const answer = await request.get(address);
  expect(answer.ok()).toBe(true);
  expect(await answer.text()).toContain('Signal Sketchbook');
  server.kill('SIGINT');
  expect(await ended).toBe(0);
});
