import AxeBuilder from '@axe-core/playwright';
import { expect, test } from '@playwright/test';

/** WCAG 2.1 A and AA as far as a program can tell (axe-core). */
for (const [scheme, width] of [
  ['light', 1440],
  ['light', 390],
  ['dark', 390],
] as const) {
  test(`sketch, sheet and notebook are accessible, ${scheme}, ${width} px`, async ({ page }) => {
    await page.emulateMedia({ colorScheme: scheme, reducedMotion: 'reduce' });
    await page.setViewportSize({ width, height: 860 });
    await page.goto('./');
    await expect(page.getByText('Low voice').first()).toBeVisible();
    for (const name of ['Sketch', 'Patch sheet', 'Notebook']) {
      // On a narrow page it says just "Sheet".
      await page.getByRole('button', { name: new RegExp(`^(${name}|${name.replace('Patch s', 'S')})$`) }).click();
      await page.waitForTimeout(300);
      // The sheet's frame lets no script in, so the checker stays outside it.
      const checker = new AxeBuilder({ page })
        .setLegacyMode(true)
        .options({ iframes: false })
        .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa']);
      const { violations } = await checker.analyze();
      expect(violations.map(({ id, nodes }) => `${name}: ${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`)).toEqual([]);
      // Nothing is wider than the screen.
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    }
  });
}
