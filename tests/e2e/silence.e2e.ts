import AxeBuilder from '@axe-core/playwright';
import { expect, test } from '@playwright/test';

/** Closed twice over: the filter lets nothing through, and the envelope does not reach the amplifier. */
const quiet = Buffer.from(
  JSON.stringify({
    format: 'signal-sketchbook/patch',
    version: 1,
    title: 'Quiet quay',
    seconds: 2,
    blocks: [
      { id: 'osc1', type: 'oscillator', label: 'Horn', settings: { tune: 220 }, at: [64, 96] },
      { id: 'ldr1', type: 'ladder', label: 'Fog', settings: { cutoff: 16 }, at: [240, 96] },
      { id: 'amp1', type: 'vca', label: 'Bellows', settings: { cvAmount: 0 }, at: [416, 96] },
      { id: 'env1', type: 'contour', label: 'Swell', at: [368, 256] },
      { id: 'clk1', type: 'clock', label: 'Tower clock', at: [208, 256] },
      { id: 'out1', type: 'output', label: 'Out', at: [560, 96] },
    ],
    cables: [
      { from: ['osc1', 'saw'], to: ['ldr1', 'in'] },
      { from: ['ldr1', 'lowpass24'], to: ['amp1', 'in'] },
      { from: ['amp1', 'out'], to: ['out1', 'left'] },
      { from: ['env1', 'contour'], to: ['amp1', 'cv'] },
      { from: ['clk1', 'beat'], to: ['env1', 'gate'] },
    ],
  }),
);

for (const [scheme, width] of [
  ['light', 1440],
  ['dark', 390],
] as const) {
  test(`a silent take is explained and mended, one edit after the other, ${scheme}, ${width} px`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: scheme, reducedMotion: 'reduce' });
    await page.setViewportSize({ width, height: 860 });
    await page.goto('./');
    await expect(page.getByText('Low voice').first()).toBeVisible();
    await page.getByRole('button', { name: 'Notebook' }).click();
    const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: /import/i }).click()]);
    await chooser.setFiles({ name: 'quiet.patch.json', mimeType: 'application/json', buffer: quiet });
    const note = page.locator('.silence');
    await expect(note).toContainText('Fog is closed: it lets nothing above 16 Hz through, because its "Cutoff" is at 16 Hz.', {
      timeout: 15_000,
    });
    await expect(note).toContainText('Tried: it sounds after this and 1 more.');
    const { violations } = await new AxeBuilder({ page }).setLegacyMode(true).options({ iframes: false }).include('.silence').analyze();
    expect(violations.map(({ id }) => id)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);

    await note.getByRole('button', { name: 'Set "Cutoff" of Fog to 1 kHz' }).click();
    await expect(note).toContainText('Bellows stays closed', { timeout: 15_000 });
    await note.getByRole('button', { name: 'Set "CV amount" of Bellows to 1' }).click();
    await expect(note).toHaveCount(0);
    await page.waitForTimeout(1500);
    await expect(note).toHaveCount(0);
    await page.keyboard.press('Control+z');
    await expect(note).toContainText('Bellows stays closed', { timeout: 15_000 });
  });
}
