import { readFileSync } from 'node:fs';
import { expect, type Page, test } from '@playwright/test';
import { specs } from '../../src/blocks/specs.gen.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import { createCatalogue } from '../../src/patch/blockSpec.ts';
import type { Patch } from '../../src/patch/document.ts';
import { readPatch } from '../../src/patch/file/read.ts';
import { engineModule } from '../support/engine.ts';

const RATE = 48000;
/** CSS pixels: left of the time axis, below it, and beside the waves of a lane. */
const [GUTTER, AXIS, BESIDE] = [64, 20, 6];

async function exportPatch(page: Page): Promise<Patch> {
  await page
    .getByRole('button', { name: /^More for / })
    .first()
    .click();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('menuitem', { name: /export/i }).click()]);
  const read = readPatch(readFileSync(await download.path(), 'utf8'), createCatalogue(specs));
  if ('problems' in read) throw new Error('The exported patch cannot be read.');
  return read.patch;
}

/** For each of the given x, the least and the greatest y between two heights at which the picture is dark; in CSS pixels. */
async function darkAt(page: Page, xs: readonly number[], top: number, bottom: number): Promise<([number, number] | undefined)[]> {
  return page.locator('.probe-pane').evaluate(
    (canvas: HTMLCanvasElement, at) => {
      const ratio = canvas.width / canvas.clientWidth;
      const context = canvas.getContext('2d');
      return at.xs.map((x): [number, number] | undefined => {
        const from = Math.round(at.top * ratio);
        const height = Math.round((at.bottom - at.top) * ratio);
        const data = context?.getImageData(Math.round(x * ratio), from, 1, height).data ?? new Uint8ClampedArray();
        const rows = Array.from({ length: height }, (_, y) => y).filter(
          (y) => (data[4 * y + 3] ?? 0) > 128 && (data[4 * y] ?? 255) + (data[4 * y + 1] ?? 255) + (data[4 * y + 2] ?? 255) < 300,
        );
        const [first, last] = [rows[0], rows.at(-1)];
        return first === undefined || last === undefined ? undefined : [(from + first) / ratio, (from + last + 1) / ratio];
      });
    },
    { xs, top, bottom },
  );
}

test('the wheel zooms from the whole take to 20 samples, drawn as the engine renders them', async ({ page }) => {
  await page.goto('./');
  await expect(page.getByRole('button', { name: 'Take 12 s ready' })).toBeVisible();
  const patch = await exportPatch(page);
  const grip = page.getByRole('separator', { name: 'Height of the probes' });
  for (let i = 0; i < 14; i++) await grip.press('ArrowUp');
  await page.getByRole('combobox', { name: 'Volts' }).selectOption('±5 V');

  const pane = page.locator('.probe-pane');
  const box = await pane.boundingBox();
  if (!box) throw new Error('The probes are not there.');
  // Just after the twentieth pluck, where the sound is loud: 192 of them come in a minute.
  await page.mouse.move(box.x + GUTTER + (6.265 / 12) * (box.width - GUTTER), box.y + 40);
  const shown = page.getByRole('slider', { name: 'Shown part of the take' });
  await expect(async () => {
    await page.mouse.wheel(0, -400);
    await expect(shown).toHaveAttribute('aria-valuetext', /0\.42 ms long$/, { timeout: 50 });
  }).toPass({ timeout: 20_000, intervals: [20] });
  await page.mouse.move(200, 20);

  // The third lane is the sound itself.
  const probe = patch.probes?.[2];
  if (!probe) throw new Error('The demo has no third probe.');
  const volts = renderTake(engineModule(), specs, patch, { rate: RATE, taps: [{ at: probe.at }] }).taps[0] as Float32Array;
  const start = Number(await shown.getAttribute('aria-valuenow')) * RATE;
  const frames = Array.from({ length: 18 }, (_, i) => Math.ceil(start) + 1 + i);
  const { width, height } = box;
  const lane = (height - AXIS) / 3;
  const [top, tall] = [2 * lane + BESIDE, lane - 2 * BESIDE];
  const xs = frames.map((frame) => GUTTER + ((frame - start) / 20) * (width - GUTTER));
  const ys = frames.map((frame) => top + tall * (1 - ((volts[frame] as number) + 5) / 10));
  // Not a level line.
  expect(Math.max(...ys) - Math.min(...ys)).toBeGreaterThan(6);
  await expect(async () => {
    const dark = await darkAt(page, xs, top, top + tall);
    for (const [i, range] of dark.entries()) {
      expect(range).toBeDefined();
      // A dot of 2.5 pixels' radius, and the line through it.
      expect(Math.abs(((range?.[0] ?? 0) + (range?.[1] ?? 0)) / 2 - (ys[i] as number))).toBeLessThan(1.5);
      expect((range?.[1] ?? 0) - (range?.[0] ?? 0)).toBeLessThan(14);
    }
  }).toPass({ timeout: 5000 });

  // Back to the whole, from beat to beat, and around what is shown.
  await page.getByRole('button', { name: 'Show less time' }).focus();
  await page.keyboard.press('0');
  await expect(shown).toHaveAttribute('aria-valuetext', 'from 0.000 s, 12 s long');
  await page.getByRole('button', { name: 'Next beat' }).click();
  // 96 beats a minute.
  await expect(page.getByRole('slider', { name: 'Playhead' })).toHaveAttribute('aria-valuetext', '0.625 s');
});
