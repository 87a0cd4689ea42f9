import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, type Page, test } from '@playwright/test';

const files = fileURLToPath(new URL('../files/v1/', import.meta.url));

const pageButton = (page: Page, name: string) => page.getByRole('button', { name, exact: true });
const title = (page: Page) => page.getByRole('heading', { level: 1 }).first();
const entries = (page: Page) => page.getByRole('list', { name: 'Patches' }).getByRole('heading', { level: 2 });

async function rename(page: Page, to: string): Promise<void> {
  await page.getByTitle('Rename the patch').click();
  await page.getByRole('banner').getByRole('textbox', { name: 'Title' }).fill(to);
  await page.keyboard.press('Enter');
  await expect(title(page)).toHaveText(to);
}

test.beforeEach(async ({ page }) => {
  await page.goto('./');
  await expect(title(page)).toHaveText('Ferry lights');
});

test('an edit made just before the page is left is there when it comes back', async ({ page }) => {
  for (const name of ['Ferry lights at dusk', 'Ferry lights at night']) {
    await rename(page, name);
    await page.reload();
    await expect(title(page)).toHaveText(name);
  }
});

test('two tabs with the same patch lose nothing', async ({ page, context }) => {
  const other = await context.newPage();
  await other.goto('./');
  await expect(title(other)).toHaveText('Ferry lights');
  await rename(other, 'Other tab');
  await expect(page.getByText('This patch was changed in another tab.')).toBeVisible();
  await rename(page, 'This tab');
  await expect(title(page)).toHaveText('This tab (copy)');
  await pageButton(page, 'Notebook').click();
  await expect(entries(page).filter({ hasText: 'tab' })).toHaveText([/^This tab \(copy\)/, /^Other tab/]);
});

test('what is exported can be dropped onto another notebook, and a refusal says where and why', async ({ page, browser }) => {
  await page.getByRole('button', { name: 'More for this patch' }).click();
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('menuitem', { name: 'Export as .patch.json' }).click(),
  ]);
  expect(download.suggestedFilename()).toBe('ferry-lights.patch.json');
  const exported = readFileSync(await download.path(), 'utf8');

  const fresh = await (await browser.newContext()).newPage();
  await fresh.goto(page.url());
  await expect(title(fresh)).toHaveText('Ferry lights');
  const drop = async (...contents: (readonly [string, string])[]): Promise<void> => {
    const dataTransfer = await fresh.evaluateHandle((given) => {
      const transfer = new DataTransfer();
      for (const [name, text] of given) transfer.items.add(new File([text], name));
      return transfer;
    }, contents);
    await fresh.dispatchEvent('body', 'dragover', { dataTransfer });
    await expect(fresh.getByText('Let go to put the patch files into the notebook')).toBeVisible();
    await fresh.dispatchEvent('body', 'drop', { dataTransfer });
  };
  await drop(['a.patch.json', exported.replace('"Ferry lights"', '"Ferry from elsewhere"')]);
  await expect(title(fresh)).toHaveText('Ferry from elsewhere');

  const bell = readFileSync(`${files}harbour-bell.patch.json`, 'utf8');
  await drop(['bell.patch.json', bell], ['bad.patch.json', exported.replace(/"type": "\w+"/, '"type": "foghorn"')]);
  const alert = fresh.getByRole('alert', { name: 'Refused files' });
  await expect(alert).toContainText('bad.patch.json');
  await expect(alert).toContainText('blocks[0].type');
  await expect(alert).toContainText('foghorn');
  await expect(entries(fresh)).toHaveCount(8);
  await fresh.context().close();
});

test('the notebook finds, deletes and brings back', async ({ page }) => {
  await pageButton(page, 'Notebook').click();
  await expect(entries(page)).toHaveCount(6);
  await page.getByRole('searchbox', { name: 'Find a patch' }).fill('polyrhythm');
  const buoys = entries(page).first();
  await expect(entries(page)).toHaveCount(1);
  await buoys.getByRole('button').focus();
  await page.keyboard.press('Delete');
  await expect(entries(page)).toHaveCount(0);
  await page.getByRole('button', { name: 'Undo', exact: true }).click();
  await expect(entries(page)).toHaveCount(1);
  await expect(page.locator('.thumbnail svg')).toHaveCount(1);
});

test('print gives the sheet and nothing else, as the saved file does', async ({ page, context }) => {
  await pageButton(page, 'Patch sheet').click();
  const [download] = await Promise.all([page.waitForEvent('download'), pageButton(page, 'Save as HTML').click()]);
  expect(download.suggestedFilename()).toBe('ferry-lights.html');
  const saved = await context.newPage();
  await saved.setContent(readFileSync(await download.path(), 'utf8'));
  const pages = async (from: Page): Promise<number> => {
    const pdf = await from.pdf({ preferCSSPageSize: true });
    return pdf.toString('latin1').match(/\/Type \/Page\b(?!s)/g)?.length ?? 0;
  };
  const direct = await pages(saved);
  expect(direct).toBeGreaterThan(1);
  expect(await pages(page)).toBe(direct);
  // Afterwards the page is as before.
  await expect(pageButton(page, 'Print')).toBeVisible();
  await expect(page.locator('.print-host')).toHaveCount(0);
});

test('the computer keys and the keys on the screen play, but not into a text field', async ({ page }) => {
  await pageButton(page, 'Notebook').click();
  await page.getByRole('button', { name: "Pilot's tune" }).first().click();
  await pageButton(page, 'Listen').click();
  const understood = pageButton(page, 'Understood');
  await understood.click();
  const held = page.locator('.screen-key[data-held="true"]');
  await page.keyboard.down('KeyQ');
  await expect(held).toHaveAccessibleName('C4');
  await page.keyboard.up('KeyQ');
  await expect(held).toHaveCount(0);

  const key = await page.getByRole('button', { name: 'C3', exact: true }).boundingBox();
  const last = await page.getByRole('button', { name: 'G4', exact: true }).boundingBox();
  if (!key || !last) throw new Error('no keys on the screen');
  await page.mouse.move(key.x + key.width / 2, key.y + key.height - 4);
  await page.mouse.down();
  await expect(held).toHaveAccessibleName('C3');
  await page.mouse.move(last.x + last.width / 2, last.y + last.height - 4, { steps: 10 });
  await expect(held).toHaveAccessibleName('G4');
  await page.mouse.up();
  await expect(held).toHaveCount(0);

  await page.getByLabel('Find a function').first().focus();
  await page.keyboard.down('KeyQ');
  await page.keyboard.up('KeyQ');
  await expect(page.getByLabel('Find a function').first()).toHaveValue('q');
});

test('a patch that cannot sound says why over the sketch, and leads to the block', async ({ page }) => {
  await page.getByRole('button', { name: 'More for this patch' }).click();
  await page.getByRole('menuitem', { name: 'New patch' }).click();
  await expect(title(page)).toHaveText('Untitled');
  await page.getByRole('button', { name: 'Output', exact: true }).click();
  const note = page.getByRole('status').getByRole('button', { name: /nothing is patched to Output/ });
  await expect(note).toBeVisible();
  await note.click();
  await expect(page.getByRole('region', { name: 'Settings of Output' })).toBeVisible();
});
