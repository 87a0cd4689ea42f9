/** Takes by ear: playing, before and after, and listening to one point of a patch, as the loudspeaker would get it. */
import { expect, type Page, test } from '@playwright/test';

/** Everything that the page sends to the loudspeakers goes through a tap that the test can read. */
async function tapLoudspeakers(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const taps: AnalyserNode[] = [];
    const connect = AudioNode.prototype.connect as (this: AudioNode, ...to: unknown[]) => unknown;
    AudioNode.prototype.connect = function (this: AudioNode, ...to: unknown[]): never {
      if (to[0] instanceof AudioDestinationNode) {
        const tap = new AnalyserNode(this.context, { fftSize: 32768 });
        connect.call(this, tap);
        taps.push(tap);
      }
      return connect.call(this, ...to) as never;
    };
    Object.assign(window, {
      /** Highest absolute sample and mean of the last 0.68 s of the loudest context. */
      loudspeakers: () => {
        let most = { peak: 0, mean: 0 };
        for (const tap of taps) {
          const samples = new Float32Array(tap.fftSize);
          tap.getFloatTimeDomainData(samples);
          let peak = 0;
          let sum = 0;
          for (const x of samples) {
            peak = Math.max(peak, Math.abs(x));
            sum += x / samples.length;
          }
          if (tap.context.state === 'running' && peak >= most.peak) most = { peak, mean: Math.abs(sum) };
        }
        return most;
      },
    });
  });
}

const heard = (page: Page): Promise<{ peak: number; mean: number }> =>
  page.evaluate(() => (window as unknown as { loudspeakers: () => { peak: number; mean: number } }).loudspeakers());

const transport = (page: Page) => page.getByRole('region', { name: 'Listen' });

test.beforeEach(async ({ page }) => {
  await tapLoudspeakers(page);
  await page.goto('./');
});

test('a take plays and pauses, gives way to the live sound, and obeys the volume', async ({ page }) => {
  await transport(page).getByRole('button', { name: 'Play the take' }).click();
  await expect.poll(async () => (await heard(page)).peak).toBeGreaterThan(0.02);
  await transport(page).getByLabel('Volume').fill('0');
  await expect.poll(async () => (await heard(page)).peak).toBeLessThan(1e-4);
  await transport(page).getByLabel('Volume').fill('0.3');
  await transport(page).getByRole('button', { name: 'Listen' }).click();
  await expect(transport(page).getByRole('button', { name: 'Play the take' })).toBeVisible();
  await transport(page).getByRole('button', { name: 'Play the take' }).click();
  await expect(transport(page).getByRole('button', { name: 'Listen' })).toBeVisible();
  await transport(page).getByRole('button', { name: 'Pause the take' }).click();
  await expect(transport(page).getByRole('button', { name: 'Play the take' })).toBeVisible();
});

test('after an edit the take before it is kept, heard at equal loudness, and what changed is said', async ({ page }) => {
  await transport(page).getByRole('button', { name: 'Play the take' }).click();
  await page.getByRole('group', { name: /^Out,/ }).click();
  const level = page.getByRole('textbox', { name: 'Level' });
  await level.fill('-9 dB');
  await level.press('Enter');
  await transport(page)
    .getByRole('button', { name: /^Take \d/ })
    .click();
  const compare = page.getByRole('region', { name: 'Before and after' });
  await compare.getByRole('radio', { name: 'Before' }).check();
  // 3 dB before, -9 dB now; the ceiling may hold back some of the peaks before.
  await expect(compare.getByRole('status')).toHaveText(
    /Equal loudness: "Before" is turned down by 1[012]\.\d dB\..*Softer by 1[012]\.\d LU/,
    { timeout: 20_000 },
  );
  await compare.getByRole('radio', { name: 'After' }).check();
  await expect.poll(async () => (await heard(page)).peak).toBeGreaterThan(0.005);
  await page.keyboard.press('Escape');
});

test('an ear on a slow modulator announces it, sends no direct voltage, and comes off with Escape', async ({ page }) => {
  await page.getByRole('button', { name: 'Put the ear on Tide, triangle' }).click();
  const note = page.getByRole('status').filter({ hasText: 'You hear:' });
  await expect(note).toContainText('Tide, triangle');
  await expect(note).toContainText(/This is a control voltage: it moves/);
  await expect(transport(page).getByRole('button', { name: 'Pause the take' })).toBeVisible();
  await page.waitForTimeout(1000);
  // 0 to 8 V at the point; 10 V are full scale: 1 mV is 1e-4.
  expect((await heard(page)).mean).toBeLessThan(1e-4);
  await page.keyboard.press('Escape');
  await expect(note).toHaveCount(0);
  await expect.poll(async () => (await heard(page)).peak).toBeGreaterThan(0.02);
});

test('an ear on a sound is heard live as well, and from the menu of a block', async ({ page }) => {
  await transport(page).getByRole('button', { name: 'Listen', exact: true }).click();
  await expect.poll(async () => (await heard(page)).peak).toBeGreaterThan(0.02);
  await page.getByRole('button', { name: 'Put the ear on Pluck' }).click();
  const note = page.getByRole('status').filter({ hasText: 'You hear:' });
  await expect(note).toContainText('Pluck');
  await expect(note).not.toContainText('control voltage');
  await expect.poll(async () => (await heard(page)).peak).toBeGreaterThan(0.02);
  await expect(transport(page).getByRole('button', { name: 'Stop' })).toBeVisible();
  await page.getByRole('group', { name: /^High voice,/ }).click({ button: 'right' });
  await page.getByRole('menuitem', { name: 'Listen here' }).hover();
  await page.getByRole('menuitem', { name: 'Saw' }).click();
  await expect(note).toContainText('High voice, saw');
  await page.getByRole('group', { name: /^High voice,/ }).click({ button: 'right' });
  await page.getByRole('menuitem', { name: 'Delete' }).click();
  await expect(note).toHaveCount(0);
});
