import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { drop, halves, smallLog } from './drop.ts';
import { describeInBrowser, takeNamed } from './harness.ts';

describeInBrowser('what columns are, stated on the page', { withDemo: false }, (bench) => {
  let page: Page;
  beforeAll(async () => {
    page = await bench.openPage();
  });

  const add = async () => {
    await page.getByRole('button', { name: 'Add this take' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
  };

  test('two files without headers: the fields to set are named, file by file, and a button sets three', async () => {
    const { accel, gyro } = halves();
    // Without names, and in codes of no common part, neither tells which sensor it is of.
    const bare = (text: string, by: number) =>
      text
        .split('\n')
        .slice(1, -1)
        .map((line) =>
          line
            .split(',')
            .map((cell, i) => (i === 0 ? cell : Math.round(Number(cell) * by)))
            .join(','),
        )
        .join('\n');
    await drop(page, [
      ['first.csv', bare(accel, 800)],
      ['second.csv', bare(gyro, 10)],
    ]);
    await page.getByText('To read this log, say:').waitFor();
    await page.getByRole('button', { name: 'Join to this take' }).click();
    const offer = (text: string) => page.getByRole('button', { name: text });
    await offer('column 2, column 3 and column 4 of first.csv are acceleration x, y, z').click();
    await offer('column 2, column 3 and column 4 of second.csv are the rates x, y, z').click();
    await offer('are the rates').first().waitFor({ state: 'detached' });
    expect(await page.getByLabel('What column column 3 of second.csv is').inputValue()).toBe('gyroY');
    expect(await page.getByLabel('What column column 3 of first.csv is').inputValue()).toBe('accelY');
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
  });

  test('a sign is reversed in the preview, stays with the take, and is remembered', async () => {
    const swapped = smallLog().replaceAll(
      /,(-?)([\d.]+),([01])$/gm,
      (_, sign, rate, sw) => `,${sign ? '' : '-'}${rate},${sw}`,
    );
    await drop(page, [['swapped.csv', swapped]]);
    await page.locator('.facts').waitFor();
    await page.getByLabel('Reverse the sign of column gz_dps').check();
    await page.getByText('the sign of column "gz_dps" is reversed, stated by you').first().waitFor();
    expect(await page.getByLabel('Reverse the sign of column time_ms').count()).toBe(0);
    await add();
    const { mapping, report } = await takeNamed(bench, 'Swapped');
    expect(mapping.columns.filter(({ reversed }) => reversed).map(({ name }) => name)).toEqual(['gz_dps']);
    expect(report.warnings).toContain('the sign of column "gz_dps" is reversed, stated by you');

    await drop(page, [['next.csv', swapped]]);
    await page.getByText(/Read as you set it for swapped\.csv/).waitFor();
    expect(await page.getByLabel('Reverse the sign of column gz_dps').isChecked()).toBe(true);
    await page.getByLabel('Reverse the sign of column gz_dps').uncheck();
    const read = page.getByRole('region', { name: 'What was read' });
    await read.getByText('the sign of column').waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Cancel' }).click();
    expect(bench.errors).toEqual([]);
  });

  test('words that a column holds over stretches become labels, once somebody says what they are', async () => {
    const lines = smallLog().trimEnd().split('\n');
    const doing = (i: number) => (i === 0 ? 'activity' : i > 600 && i < 1600 ? 'kreiseln' : 'rest');
    await drop(page, [['told.csv', lines.map((line, i) => `${line},${doing(i)}`).join('\n')]]);
    await page.locator('.facts').waitFor();
    await add();
    await page.locator('.stave-speed').waitFor();
    const panel = page.locator('.labels-panel');
    await panel.getByText('2 words in the log').click();
    const row = (text: string) => panel.locator(`[data-log-text="${text}"]`);
    expect(await row('rest').innerText()).toMatch(/2 stretches, /);
    expect(await row('rest').getByRole('combobox').inputValue()).toBe('still');
    await row('kreiseln').getByRole('combobox').selectOption('spinning');
    await row('kreiseln').getByRole('button', { name: 'Label' }).click();
    await row('kreiseln').getByRole('button', { name: 'Labelled' }).waitFor();
    await panel.getByText('1 word in the log').waitFor();
    // One span by a person now.
    const spins = panel.getByRole('row', { name: /Spins/ }).getByRole('cell').first();
    expect(await spins.innerText()).toBe('1');
    expect(bench.errors).toEqual([]);
  });
});
