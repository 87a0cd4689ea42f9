import { expect, test } from '@playwright/test';

/** Three sines of 5 V in step at a mixer: 15 V, cut off at 12 V, and an output turned up. */
const pier = {
  format: 'signal-sketchbook/patch',
  version: 1,
  title: 'Foggy pier',
  seconds: 2,
  blocks: [
    { id: 'osc1', type: 'oscillator', label: 'Fog horn', at: [100, 100] },
    { id: 'mix1', type: 'mixer', label: 'All horns', at: [300, 100] },
    { id: 'out1', type: 'output', at: [500, 100], settings: { level: 3 } },
  ],
  cables: [
    { from: ['osc1', 'sine'], to: ['mix1', 'in1'] },
    { from: ['osc1', 'sine'], to: ['mix1', 'in2'] },
    { from: ['osc1', 'sine'], to: ['mix1', 'in3'] },
    { from: ['mix1', 'sum'], to: ['out1', 'left'] },
  ],
};

test('what is heard is found, silenced with a note, still silenced after a reload, and asked about', async ({ page }) => {
  await page.goto('./');
  await page
    .getByRole('button', { name: /^More for / })
    .first()
    .click();
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('menuitem', { name: /Import/ }).click()]);
  await chooser.setFiles({ name: 'pier.patch.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(pier)) });
  const findings = page.getByRole('region', { name: 'Findings' });
  const clipped = findings.getByRole('button', { name: /^Warning: "Sum" of All horns is cut off at 12 V/ });
  await expect(clipped).toBeVisible({ timeout: 30_000 });

  await findings.getByRole('button', { name: /^More about: "Sum" of All horns is cut off/ }).click();
  await findings.getByRole('textbox', { name: /Why it may stay so/ }).fill('The lesson is about clipping');
  await page.keyboard.press('Enter');
  await expect(clipped).toBeHidden();
  await expect(findings.getByText('1 silenced')).toBeVisible();
  await page.waitForTimeout(500); // the storage
  await page.reload();
  await expect(findings.getByText('1 silenced')).toBeVisible({ timeout: 30_000 });
  await findings.getByText('1 silenced').click();
  await expect(findings.getByText('Note: The lesson is about clipping')).toBeVisible();

  await findings.getByRole('button', { name: 'Why is it so loud?' }).click();
  await expect(findings.getByText(/^Measured: .* LUFS, true peak .* dBTP\.$/)).toBeVisible({ timeout: 30_000 });
  await expect(findings.getByRole('button', { name: /All horns makes it .* dB louder/ })).toBeVisible();
});
