import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { drop, smallLog } from './drop.ts';
import { describeInBrowser, takeNamed } from './harness.ts';

/** The log's clock counts ms; as µs everything would be a thousand times shorter. Two presses, at 4.5 and 9.2 s. */
const LOG = smallLog('power_button');

describeInBrowser('reading the columns of a stored take again', { withDemo: false }, (bench) => {
  let page: Page;
  beforeAll(async () => {
    page = await bench.openPage();
    await drop(page, [['carry.csv', LOG]]);
    await page.getByRole('button', { name: 'Add this take' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
    await page.locator('.stave-speed .over').waitFor();
  });

  const open = async () => {
    if (!(await page.getByRole('button', { name: 'Read the columns again…' }).isVisible()))
      await page.locator('.take-panel summary').click();
    await page.getByRole('button', { name: 'Read the columns again…' }).click();
    await page.getByRole('heading', { name: 'Columns of “Carry”' }).waitFor();
    await page.locator('.facts').waitFor();
  };
  const readSo = async (name = 'Read the take so') => {
    await Promise.all([page.waitForEvent('load'), page.getByRole('button', { name }).click()]);
    await page.getByText('Read “Carry” again.').waitFor();
    await page.locator('.stave-speed .over').waitFor();
  };
  const take = () => takeNamed(bench, 'Carry');

  test('a sign is corrected, and the labels stay, also those not saved yet', async () => {
    await page.keyboard.press('n');
    await page.keyboard.press('s');
    await page.keyboard.press('n');
    await page.keyboard.press('w');
    await open();
    await page.getByLabel('Reverse the sign of column gy_dps').check();
    await page.getByText('the sign of column "gy_dps" is reversed, stated by you').first().waitFor();
    await readSo();
    const document = await take();
    expect(document.labels.presses.map(({ downUs, intent }) => [downUs, intent])).toEqual([
      [4_500_000, 'stray'],
      [9_200_000, 'wanted'],
    ]);
    expect(document.mapping.columns.filter(({ reversed }) => reversed).map(({ name }) => name)).toEqual([
      'gy_dps',
    ]);
  });

  test('the dialog begins with what was set; another clock moves the labels with their moments', async () => {
    await open();
    expect(await page.getByLabel('Reverse the sign of column gy_dps').isChecked()).toBe(true);
    await page.getByLabel('What column time_ms is').selectOption('ignored');
    const rate = page.getByLabel('Sample rate, Hz');
    await rate.fill('100');
    await rate.press('Enter');
    await expect.poll(() => page.locator('.facts').innerText()).toContain('100 Hz');
    await readSo();
    const { labels, presses } = await take();
    // Half the rate: twice as late.
    expect(labels.presses.map(({ downUs }) => downUs)).toEqual([9_000_000, 18_400_000]);
    expect(presses.map(({ downUs }) => downUs)).toEqual([9_000_000, 18_400_000]);
    // Nothing that undo brings back is of the clock before.
    expect(await page.getByRole('button', { name: /^Undo/ }).first().isDisabled()).toBe(true);
  });

  test('labels that would go are told of first; nothing is changed until that is allowed', async () => {
    const before = await take();
    await open();
    await page.getByLabel('What column power_button is').selectOption('ignored');
    await page.getByText('No column is a button.').waitFor();
    await page.getByRole('button', { name: 'Read the take so' }).click();
    await page.getByText('Some labels would go.').waitFor();
    expect(await page.locator('dialog .problem').innerText()).toContain(
      'Left out: 2 labels of the button “power_button”, while in this take none is pressed.',
    );
    expect(await take()).toEqual(before);
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
    expect(await take()).toEqual(before);
    await open();
    await page.getByLabel('What column power_button is').selectOption('ignored');
    await page.getByText('No column is a button.').waitFor();
    await page.getByRole('button', { name: 'Read the take so' }).click();
    await readSo('Read it so, without them');
    expect((await take()).labels.presses).toEqual([]);
    expect(bench.errors).toEqual([]);
  });
});
