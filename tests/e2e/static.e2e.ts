import { expect, test } from '@playwright/test';

test('the page loads from a sub-path of a plain web server, without a missing file or a fault', async ({ page, baseURL }) => {
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('response', (response) => {
    if (response.status() >= 400) faults.push(`${response.status()} ${response.url()}`);
  });
  page.on('request', (request) => {
    if (/^https?:/.test(request.url()) && !request.url().startsWith(baseURL ?? '')) faults.push(`asked for ${request.url()}`);
  });
  await page.goto('./');
  await expect(page.locator('#root > *').first()).toBeVisible();
  await page.waitForLoadState('networkidle');
  expect(await page.title()).toContain('Signal Sketchbook');
  expect(faults).toEqual([]);
});
