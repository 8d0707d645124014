import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { RIVALS } from '../ingest/rivals.ts';
import { drop } from './drop.ts';
import { describeInBrowser } from './harness.ts';

const textOf = (name: string) => RIVALS.find((own) => own.name === name)!.text;

describeInBrowser('the ledger of a reading', { withDemo: false }, (bench) => {
  let page: Page;
  beforeAll(async () => {
    page = await bench.openPage();
  });

  const ledger = () => page.locator('details.ledger');
  const isOpen = () => ledger().evaluate((details) => (details as HTMLDetailsElement).open);
  const cancel = async () => {
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
  };

  test('is folded where nothing is asked, and shows a magnetometer’s constant length against it', async () => {
    await drop(page, [['field.csv', textOf('no header at all, the field in front')]]);
    await ledger().waitFor();
    expect(await isOpen()).toBe(false);
    await page.getByText('What speaks for this reading, and what against').click();
    const sensors = page.getByRole('table', { name: 'Which columns hold acceleration and angular rate?' });
    const rows = sensors.locator('tbody tr');
    expect(await rows.first().innerText()).toMatch(/acceleration: column 8, column 9, column 10/);
    const rival = rows.filter({ hasText: 'acceleration: column 2, column 3, column 4' });
    expect(await rival.innerText()).toMatch(/−7\.0 acceleration: its length stays the same within/);
    const figures = await rows.first().locator('td').allInnerTexts();
    const weights = [
      ...figures
        .slice(1)
        .join(' ')
        .matchAll(/([+−])(\d+\.\d)/g),
    ];
    const total = weights.reduce((sum, [, sign, size]) => sum + (sign === '+' ? 1 : -1) * Number(size), 0);
    expect(Number(figures[0]!.replace('+', ''))).toBeCloseTo(total, 1);
    await cancel();
  });

  test('is open with a question where nothing leads, until the user says', async () => {
    await drop(page, [['between.csv', textOf('a scale between two parts, which gravity cannot tell apart')]]);
    await page.getByText('To read this log, say:').waitFor();
    expect(await page.getByRole('alert').innerText()).toMatch(/the unit of angular rate is unknown/);
    expect(await isOpen()).toBe(true);
    const units = page.getByRole('table', { name: 'In which unit are the rates?' });
    expect(await units.locator('caption').innerText()).toMatch(
      /asked: nothing leads clearly enough; lead \+/,
    );
    expect(await page.getByRole('button', { name: 'Add this take' }).isEnabled()).toBe(false);
    for (const axis of ['x', 'y', 'z'])
      await page.getByLabel(`Unit of column g${axis}`).selectOption('lsb:14.2857142857');
    await page.locator('.facts').waitFor();
    expect(await isOpen()).toBe(false);
    expect(await ledger().textContent()).toMatch(/In which unit are the rates\? as you stated/);
    expect(await page.getByRole('button', { name: 'Add this take' }).isEnabled()).toBe(true);
    await cancel();
    expect(bench.errors).toEqual([]);
  });
});
