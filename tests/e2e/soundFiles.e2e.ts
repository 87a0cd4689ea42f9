import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import AxeBuilder from '@axe-core/playwright';
import { expect, type Locator, type Page, test } from '@playwright/test';
import wavefile from 'wavefile';
import { encodeWav } from '../../src/notebook/wav.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const rate = 44100;
const bell = (frames: number, hz: number): Float32Array =>
  Float32Array.from({ length: frames }, (_, n) => 0.6 * Math.sin((2 * Math.PI * hz * n) / rate) * Math.exp((-4 * n) / frames));
/** Two channels at another rate than the page's. */
const stereo = Buffer.from(encodeWav([bell(40000, 440), bell(40000, 660)], rate, '24'));
/** Four channels, which only the browser's own decoder reads. */
const four = Buffer.from(
  encodeWav(
    [300, 400, 500, 600].map((hz) => bell(20000, hz)),
    rate,
    '16',
  ),
);

/** A clock that strikes a sample player an octave down, looked at by its own file. */
const patch = (settings: object, recordings: object[] = []): Buffer =>
  Buffer.from(
    JSON.stringify({
      format: 'signal-sketchbook/patch',
      version: 1,
      title: 'Bell on the quay',
      seconds: 3,
      recordings,
      blocks: [
        { id: 'beat', type: 'clock', at: [0, 200] },
        { id: 'low', type: 'attenuverter', label: 'Low', at: [0, 60], settings: { gain: 0, offset: -1.25 } },
        { id: 'player', type: 'samplePlayer', label: 'Bell', at: [200, 100], settings },
        { id: 'out', type: 'output', at: [420, 100] },
      ],
      cables: [
        { from: ['beat', 'beat'], to: ['player', 'play'] },
        { from: ['low', 'out'], to: ['player', 'pitch'] },
        { from: ['player', 'left'], to: ['out', 'left'] },
        { from: ['player', 'right'], to: ['out', 'right'] },
      ],
    }),
  );

const block = (page: Page, name: string): Locator => page.getByRole('group', { name: new RegExp(`^${name},`) });
const field = (page: Page): Locator => page.getByRole('region', { name: 'Sound file' });

async function importPatch(page: Page, buffer: Buffer): Promise<void> {
  await page.getByRole('button', { name: 'Notebook' }).click();
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: /import/i }).click()]);
  await chooser.setFiles({ name: 'quay.patch.json', mimeType: 'application/json', buffer });
}

async function choose(page: Page, button: string, name: string, buffer: Buffer): Promise<void> {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), field(page).getByRole('button', { name: button }).click()]);
  await chooser.setFiles({ name, mimeType: 'audio/wav', buffer });
}

async function download(page: Page, act: () => Promise<void>): Promise<Buffer> {
  const [saved] = await Promise.all([page.waitForEvent('download'), act()]);
  return readFileSync(await saved.path());
}

async function saveTake(page: Page): Promise<Buffer> {
  await page.getByRole('button', { name: /^Take \d/ }).click();
  await page.getByLabel('32 bit float').check();
  const save = page.getByRole('button', { name: 'Save the take' });
  await expect(save).toBeEnabled({ timeout: 30_000 });
  const take = await download(page, () => save.click());
  await page.keyboard.press('Escape');
  return take;
}

function renderInNode(document: Buffer, sounds: Readonly<Record<string, Buffer>>): Buffer {
  const folder = mkdtempSync(join(tmpdir(), 'bell-'));
  try {
    const file = join(folder, 'quay.patch.json');
    writeFileSync(file, document);
    mkdirSync(`${file}.recordings`);
    for (const [id, bytes] of Object.entries(sounds)) writeFileSync(join(`${file}.recordings`, `${id}.wav`), bytes);
    const out = join(folder, 'take.wav');
    const run = spawnSync(process.execPath, ['src/cli/run.mjs', 'render', file, '--out', out, '--format', 'float'], { cwd: root });
    expect(run.stderr.toString()).toBe('');
    return readFileSync(out);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const loudest = (wav: Buffer): number[] =>
  (new wavefile.WaveFile(wav).getSamples(false, Float32Array) as unknown as Float32Array[]).map((side) =>
    side.reduce((most, x) => Math.max(most, Math.abs(x)), 0),
  );

test.beforeEach(async ({ page }) => {
  page.on('pageerror', (error) => {
    throw error;
  });
  await page.goto('./');
  await expect(page.getByText('Ferry lights').first()).toBeVisible();
});

test('a sound file is chosen, heard, rendered as by the command line, and there after a reload', async ({ page }) => {
  await importPatch(page, patch({}));
  await block(page, 'Bell').getByText('Bell', { exact: true }).click();
  await expect(field(page)).toContainText('None yet');
  await page.getByRole('button', { name: 'Listen' }).click();
  await expect(page.locator('.listen-meter')).toContainText('silent');
  await choose(page, 'Choose a sound file', 'Ferry bell.wav', stereo);
  await expect(field(page)).toContainText('Ferry bell.wav');
  const { violations } = await new AxeBuilder({ page }).include('.strip').withTags(['wcag2a', 'wcag2aa', 'wcag21aa']).analyze();
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 120)).join(' | ')}`)).toEqual([]);
  await expect(page.locator('.listen-meter')).toContainText(/-\d+ dB/);
  await page.getByRole('button', { name: 'Stop' }).click();
  const take = await saveTake(page);
  for (const side of loudest(take)) expect(side).toBeGreaterThan(0.1);

  await page.waitForTimeout(600);
  await page.reload();
  await block(page, 'Bell').getByText('Bell', { exact: true }).click();
  const save = field(page).getByRole('button', { name: 'Save as WAV' });
  await expect(save).toBeVisible();
  const kept = await download(page, () => save.click());
  expect(kept.equals(stereo)).toBe(true);
  expect((await saveTake(page)).equals(take)).toBe(true);

  const exported = await download(page, async () => {
    await page
      .getByRole('button', { name: /^More for / })
      .first()
      .click();
    await page.getByRole('menuitem', { name: /export/i }).click();
  });
  expect(JSON.parse(exported.toString()).recordings).toMatchObject([{ id: 'ferry-bell', name: 'Ferry bell.wav' }]);
  expect(renderInNode(exported, { 'ferry-bell': kept }).equals(take)).toBe(true);
});

test("what our own reader cannot read the browser's decoder does, once and for all", async ({ page }) => {
  await importPatch(page, patch({}));
  await block(page, 'Bell').getByText('Bell', { exact: true }).click();
  await choose(page, 'Choose a sound file', 'Four winds.wav', four);
  const save = field(page).getByRole('button', { name: 'Save as WAV' });
  await expect(save).toBeVisible();
  const kept = new wavefile.WaveFile(await download(page, () => save.click()));
  expect(kept.fmt).toMatchObject({ numChannels: 2, sampleRate: 48000, bitsPerSample: 24 });
  await choose(page, 'Choose another file', 'Letter.txt', Buffer.from('Dear harbour master'));
  await expect(field(page).getByRole('alert')).toHaveText('The browser cannot read "Letter.txt" as a sound file.');
});

test('a patch file without its sound says so and takes the same file again', async ({ page }) => {
  const sha256 = '5'.repeat(64);
  await importPatch(page, patch({ recording: 'bell' }, [{ id: 'bell', name: 'Ferry bell.wav', sha256, seconds: 1 }]));
  await expect(page.getByText(/The sound file "Ferry bell.wav" is not in this notebook/).first()).toBeVisible();
  await block(page, 'Bell').getByText('Bell', { exact: true }).click();
  await expect(field(page).getByRole('alert')).toContainText('Choose the same file again');
  await choose(page, 'Choose it again', 'Other bell.wav', stereo);
  await expect(page.getByText(/another sound file than "Ferry bell.wav"/).first()).toBeVisible();
  await expect(field(page)).toContainText('Other bell.wav');
});

const microphone = Buffer.from(
  JSON.stringify({
    format: 'signal-sketchbook/patch',
    version: 1,
    title: 'Voices on the quay',
    blocks: [
      { id: 'mic', type: 'external', label: 'Voices', at: [0, 100] },
      { id: 'out', type: 'output', at: [240, 100] },
    ],
    cables: [{ from: ['mic', 'left'], to: ['out', 'left'] }],
  }),
);

test('the microphone is heard only after its button was pressed, and shut with the sound', async ({ page, context }) => {
  await context.grantPermissions(['microphone']);
  const meter = page.locator('.listen-meter');
  await importPatch(page, microphone);
  await page.getByRole('button', { name: 'Listen' }).click();
  await expect(meter).toContainText('silent');
  await page.waitForTimeout(1500);
  await expect(meter).toContainText('silent');
  await block(page, 'Voices').getByText('Voices', { exact: true }).click();
  const panel = page.getByRole('region', { name: 'Microphone or line input' });
  await expect(panel).toContainText('headphones');
  await panel.getByRole('button', { name: 'Use the microphone or line input' }).click();
  await expect(panel.getByRole('status')).toContainText('Open');
  await expect(meter).toContainText(/-\d+ dB/);
  await panel.getByRole('button', { name: 'Shut it' }).click();
  await expect(meter).toContainText('silent');
  await panel.getByRole('button', { name: 'Use the microphone or line input' }).click();
  await expect(panel.getByRole('status')).toContainText('Open');
  await page.getByRole('button', { name: 'Stop' }).click();
  await expect(panel.getByRole('status')).toContainText('It opens as soon as you press Listen.');
});

test('a refused microphone is said in a sentence', async ({ page }) => {
  await importPatch(page, microphone);
  await page.getByRole('button', { name: 'Listen' }).click();
  await block(page, 'Voices').getByText('Voices', { exact: true }).click();
  const panel = page.getByRole('region', { name: 'Microphone or line input' });
  await panel.getByRole('button', { name: 'Use the microphone or line input' }).click();
  await expect(panel.getByRole('alert')).toContainText('no permission');
});
