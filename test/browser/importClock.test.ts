import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { drop, smallLog } from './drop.ts';
import { describeInBrowser } from './harness.ts';

/** The small log at 200 Hz with other stamps in its first column, in ms. */
function withStamps(stampMs: (row: number) => number): string {
  const [header, ...rows] = smallLog().trimEnd().split('\n');
  const stamped = rows.map((row, i) => row.replace(/^[^,]*/, stampMs(i).toFixed(3)));
  return `${[header, ...stamped].join('\n')}\n`;
}

describeInBrowser('clock and buttons in the import dialog', { withDemo: false }, (bench) => {
  let page: Page;
  beforeAll(async () => {
    page = await bench.openPage();
  });

  const figures = () => expect.poll(() => page.locator('.facts').innerText());
  const clock = () => page.getByRole('combobox', { name: 'How the clock’s stamps are taken' });
  const cancel = async () => {
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
  };

  test('bunched stamps become even, a stated rate overrules them, and they can be kept', async () => {
    const text = withStamps((i) => 5 * (Math.floor(i / 10) * 10 + 9) + 0.04 * (i % 10));
    await drop(page, [['bunches.csv', text]]);
    await figures().toMatch(/Rate\s+200\.\d+ Hz[\s\S]*Gaps\s+0/);
    await page.getByText(/come in bunches of about 10 rows every 50 ms/).waitFor();
    await clock().selectOption('even');
    const rate = page.getByLabel('Sample rate, Hz');
    await rate.fill('208');
    await rate.press('Enter');
    await figures().toMatch(/Rate\s+208 Hz[\s\S]*Gaps\s+0/);
    await clock().selectOption('stamps');
    await rate.waitFor({ state: 'detached' });
    await figures().toMatch(/Gaps\s+199/);
    await cancel();
  });

  test('where nothing tells how bunched stamps are meant, two buttons answer', async () => {
    let at = 0;
    const text = withStamps((i) => {
      at += i % 10 === 0 ? (i < 1000 ? 30 : 90) + ((i * 37) % 50) : 0.03;
      return at;
    });
    await drop(page, [['uneven.csv', text]]);
    await page.getByRole('button', { name: 'Rows follow each other evenly' }).click();
    await figures().toMatch(/Rows\s+2,000[\s\S]*Gaps\s+0/);
    expect(await clock().inputValue()).toBe('even');
    await cancel();
  });

  test('a button that may be the wrong way round is doubted, and turned by one click', async () => {
    const text = smallLog().replace(/,([01])$/gm, (_, state: string) => `,${1 - Number(state)}`);
    await drop(page, [['low.csv', text]]);
    const box = page.getByRole('region', { name: 'Buttons in doubt' });
    await box.getByText(/sw rests at its high level: low is taken as pressed/).waitFor();
    await figures().toMatch(/sw 2/);
    await box.getByRole('button', { name: 'It is down while high (1)' }).click();
    await box.getByText(/sw is down for 98 % of the take/).waitFor();
    await figures().toMatch(/sw 3/);
    await box.getByRole('button', { name: '“sw” is no button' }).click();
    await page.getByText('No column is a button.').waitFor();
    await cancel();
  });
});
