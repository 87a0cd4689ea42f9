import AxeBuilder from '@axe-core/playwright';
import { expect, test } from '@playwright/test';

for (const scheme of ['light', 'dark'] as const) {
  test(`"What moves this?" is asked by keys, lights the ways of its sources and is accessible, ${scheme}`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: scheme, reducedMotion: 'reduce' });
    await page.setViewportSize({ width: 1440, height: 900 });
    await page.goto('./');
    await expect(page.getByText('Lantern').first()).toBeVisible();
    await page.locator('.react-flow__node[data-id="ldr1"]').focus();
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'What moves Cutoff of Lantern?' }).focus();
    await page.keyboard.press('Enter');
    // Rendered in a worker, from the patch alone.
    const sources = page.getByRole('list', { name: 'Sources by share' }).getByRole('button');
    await expect(sources).toHaveCount(2);
    await expect(page.locator('.cable[data-lit="true"]')).not.toHaveCount(0);
    await expect(page.locator('.cable[data-cable="ldr1.in"]')).toHaveAttribute('data-lit', 'false');

    const bands = page.locator('.cable-band');
    const all = await bands.count();
    await sources.nth(0).focus();
    await expect.poll(() => bands.count()).toBeLessThan(all);
    const { violations } = await new AxeBuilder({ page })
      .setLegacyMode(true)
      .include('.shell-strip')
      .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa'])
      .analyze();
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`)).toEqual([]);

    await page.keyboard.press('Escape');
    await expect(sources).toHaveCount(0);
    await expect(bands).toHaveCount(0);
    await expect(page.getByRole('button', { name: 'What moves Cutoff of Lantern?' })).toBeFocused();
  });
}
