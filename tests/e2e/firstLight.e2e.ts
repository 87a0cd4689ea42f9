import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, type Locator, type Page, test } from '@playwright/test';
import wavefile from 'wavefile';
import { findClicks } from '../../src/measure/clicks.ts';
import { pitchOf } from '../../src/measure/pitch.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));

const block = (page: Page, name: string): Locator => page.getByRole('group', { name: new RegExp(`^${name},`) });
const output = (page: Page, name: string, port: string): Locator =>
  block(page, name).getByRole('button', { name: new RegExp(`^${port}, \\w+ output`) });
const input = (page: Page, name: string, port: string): Locator =>
  block(page, name).getByRole('button', { name: new RegExp(`^${port}, \\w+ input`) });

async function cable(from: Locator, to: Locator): Promise<void> {
  await from.click();
  await to.click();
  await expect(to).toHaveAccessibleName(/fed by/);
}

/** Renders what is open and saves it as 32-bit float; answers the file. */
async function saveTake(page: Page): Promise<Buffer> {
  await page.getByRole('button', { name: /^Take \d/ }).click();
  await page.getByLabel('32 bit float').check();
  const save = page.getByRole('button', { name: 'Save the take' });
  await expect(save).toBeEnabled({ timeout: 30_000 });
  const [download] = await Promise.all([page.waitForEvent('download'), save.click()]);
  await page.keyboard.press('Escape');
  return readFileSync(await download.path());
}

async function exportPatch(page: Page): Promise<Buffer> {
  await page
    .getByRole('button', { name: /^More for / })
    .first()
    .click();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('menuitem', { name: /export/i }).click()]);
  return readFileSync(await download.path());
}

/** Both channels of a float WAV. */
function channelsOf(file: Buffer): [Float32Array, Float32Array] {
  const wav = new wavefile.WaveFile(file);
  expect(wav.bitDepth).toBe('32f');
  const [left, right] = wav.getSamples(false, Float32Array) as unknown as [Float32Array, Float32Array];
  return [left, right];
}

/** The same patch rendered by the command line. */
function renderInNode(patch: Buffer): Buffer {
  const folder = mkdtempSync(join(tmpdir(), 'take-'));
  try {
    const out = join(folder, 'take.wav');
    const { status, stderr } = spawnSync(process.execPath, ['src/cli/run.mjs', 'render', '-', '--out', out, '--format', 'float'], {
      cwd: root,
      input: patch,
    });
    expect(stderr.toString()).toBe('');
    expect(status).toBe(0);
    return readFileSync(out);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

test.beforeEach(async ({ page }) => {
  page.on('pageerror', (error) => {
    throw error;
  });
});

test('a newcomer plays the demo, changes it, sees it, saves a take and finds everything again', async ({ page }) => {
  await page.goto('./');
  await expect(page.getByText('Ferry lights').first()).toBeVisible();
  await page.getByRole('button', { name: 'Listen' }).click();
  await expect(page.locator('.listen-meter')).toContainText(/-\d+ dB/);
  await expect(page.getByRole('note')).toContainText('headphones');
  await page.getByRole('button', { name: 'Understood' }).click();

  // The cutoff, while it sounds.
  await block(page, 'Lantern').getByText('Lantern').click();
  const cutoff = page.getByRole('textbox', { name: 'Cutoff, value' });
  await cutoff.fill('2k');
  await cutoff.press('Enter');
  await expect(cutoff).toHaveValue('2 kHz');
  await expect(page.locator('.listen-meter')).toContainText(/-\d+ dB/);

  // A slow modulator from the list, cabled to the filter.
  const item = page.getByRole('button', { name: /^LFO/ });
  await item.scrollIntoViewIfNeeded();
  const from = await item.boundingBox();
  const work = await page.locator('#work').boundingBox();
  if (!from || !work) throw new Error('The list or the sketch is not there.');
  await page.mouse.move(from.x + 40, from.y + from.height / 2);
  await page.mouse.down();
  await page.mouse.move(work.x + work.width * 0.82, work.y + work.height * 0.72, { steps: 12 });
  await page.mouse.up();
  await expect(block(page, 'LFO')).toBeVisible();
  await cable(output(page, 'LFO', 'Triangle'), input(page, 'Lantern', 'Cutoff 2'));

  // A probe on the new cable's output.
  await block(page, 'LFO').getByText('LFO').click();
  await page.getByRole('button', { name: 'Clip a probe here' }).click();
  await expect(page.getByRole('region', { name: 'Probes' })).toContainText('LFO');

  const take = await saveTake(page);
  const [left] = channelsOf(take);
  expect(left.length).toBe(12 * 48000);
  expect(Math.max(...left.subarray(0, 96000))).toBeGreaterThan(0.02);

  const before = await exportPatch(page);
  await page.waitForTimeout(600);
  await page.reload();
  await expect(block(page, 'LFO')).toBeVisible();
  await expect(input(page, 'Lantern', 'Cutoff 2')).toHaveAccessibleName(/fed by LFO/);
  expect((await exportPatch(page)).toString()).toBe(before.toString());

  // The command line gives the same samples, bit for bit.
  expect(renderInNode(before).equals(take)).toBe(true);
});

test('a patch drawn by hand sounds at the pitch that was typed, without a click', async ({ page }) => {
  await page.goto('./');
  await page.getByRole('button', { name: 'Notebook' }).click();
  await page.getByRole('button', { name: 'New patch' }).click();
  for (const name of ['oscillator', 'output']) {
    await page.keyboard.press('/');
    await page.keyboard.type(name);
    await page.keyboard.press('Enter');
  }
  await expect(block(page, 'Output')).toBeVisible();
  await cable(output(page, 'Oscillator', 'Saw'), input(page, 'Output', 'Left'));
  await block(page, 'Oscillator').getByText('Oscillator').click();
  const tune = page.getByRole('textbox', { name: /^Tune.*value/ });
  await tune.fill('A3');
  await tune.press('Enter');
  await expect(tune).toHaveValue('220 Hz');
  await page.getByRole('button', { name: 'Listen' }).click();
  await expect(page.locator('.listen-meter')).toContainText(/-\d+ dB/);

  const take = await saveTake(page);
  const [left, right] = channelsOf(take);
  expect(left).toEqual(right);
  const pitch = pitchOf(left.subarray(48000, 56192), 48000);
  expect(Math.abs(1200 * Math.log2((pitch?.hz ?? 1) / 220))).toBeLessThan(1);
  expect(findClicks(left, {}, 4800, 96000)).toEqual([]);

  // Undo takes back the pitch, the cable and both blocks; redo brings them again.
  await page.keyboard.press('Escape');
  await page.locator('#work').focus();
  for (let i = 0; i < 4; i++) await page.keyboard.press('Control+z');
  await expect(block(page, 'Oscillator')).toHaveCount(0);
  for (let i = 0; i < 4; i++) await page.keyboard.press('Control+Shift+z');
  await expect(input(page, 'Output', 'Left')).toHaveAccessibleName(/fed by Oscillator/);
});
