import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { drop, halves, smallLog } from './drop.ts';
import { describeInBrowser } from './harness.ts';

describeInBrowser('the import dialog', { withDemo: false }, (bench) => {
  let page: Page;
  beforeAll(async () => {
    page = await bench.openPage();
  });

  const facts = () => page.locator('.facts');
  const figures = () => expect.poll(() => facts().innerText());
  const isAddable = () => page.getByRole('button', { name: 'Add this take' }).isEnabled();
  const cancel = async () => {
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
  };
  const reasonOf = (column: string) =>
    page.locator('.mapping tr', { hasText: column }).locator('.reason').innerText();

  test('says what is lost without a button, offers the column that may be one, and remembers it', async () => {
    await drop(page, [['first.csv', smallLog('extra')]]);
    await page.getByText('No column is a button.').waitFor();
    await page.getByRole('button', { name: 'Take “extra” as the button' }).click();
    await figures().toMatch(/extra 2/);
    await page.getByText('No column is a button.').waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Add this take' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });

    await drop(page, [['second.csv', smallLog('extra')]]);
    await page.getByText(/Read as you set it for first\.csv/).waitFor();
    expect(await facts().innerText()).toMatch(/extra 2/);
    expect(await page.getByLabel('What column extra is').inputValue()).toBe('button');
    expect(await reasonOf('extra')).toMatch(/^as you set for first\.csv on \d{4}-\d{2}-\d{2}$/);
  });

  test('leaves what is remembered aside for this take, uses it again, and forgets it', async () => {
    await page.getByRole('button', { name: 'Use the guess instead' }).click();
    await figures().toMatch(/none/);
    expect(await page.getByLabel('What column extra is').inputValue()).toBe('ignored');
    await page.getByRole('button', { name: 'Use it' }).click();
    await figures().toMatch(/extra 2/);
    await page.getByRole('button', { name: 'Forget it' }).click();
    await figures().toMatch(/none/);
    await page.locator('.remembered').waitFor({ state: 'detached' });
    await cancel();
    await drop(page, [['third.csv', smallLog('extra')]]);
    await page.getByText('No column is a button.').waitFor();
    expect(await page.locator('.remembered').count()).toBe(0);
    await cancel();
  });

  test('says that a file is a take already, and lets it be added all the same', async () => {
    await drop(page, [['again.csv', smallLog('extra')]]);
    const box = page.getByRole('region', { name: 'Here already' });
    await box.waitFor();
    expect(await box.innerText()).toMatch(
      /This file is in the workspace already, as the take “First”\. .* counts once more/,
    );
    expect(await isAddable()).toBe(true);
    await cancel();
    await drop(page, [['new.csv', smallLog('other')]]);
    await facts().waitFor();
    expect(await box.count()).toBe(0);
    await cancel();
  });

  test('tells of a cell that holds no measurement, beside the figures of the rest', async () => {
    const lines = smallLog('extra').split('\n');
    lines[700] = lines[700]!.replace(/,[^,]*,[^,]*$/, ',1e200,0');
    await drop(page, [['torn.csv', lines.join('\n')]]);
    await figures().toMatch(/Rows\s+1,999[\s\S]*Peak rate\s+500 °\/s[\s\S]*Bad rows\s+1\b/);
    await page.getByText('Rows left out: 1').click();
    await page.getByText('line 701, column 7: "1e200" is too large to be a measurement').waitFor();
    await cancel();
  });

  test('says of a table that is too wide where it is and what to do', async () => {
    await drop(page, [['wide.csv', `${'1.5,'.repeat(24_999)}2\n`]]);
    await page
      .getByText('wide.csv, line 1: the table has 25000 columns, and at most 4096 are read')
      .waitFor();
    await cancel();
  });

  test('asks once for the missing half, and takes it when it is dropped among other files', async () => {
    const { accel, gyro } = halves();
    await drop(page, [['carry_acc.csv', accel]]);
    await page.getByText('Half of the motion is missing.').waitFor();
    expect(await page.locator('dialog .problem').count()).toBe(1);
    expect(await page.locator('dialog .problem').innerText()).toContain(
      'If angular rates stand in this file',
    );
    expect(await isAddable()).toBe(false);
    await drop(page, [
      ['other.csv', smallLog()],
      ['spin_gyro.csv', gyro.replaceAll(/^(\d+\.\d+),/gm, '9$1,')],
      ['carry_gyro.csv', gyro],
    ]);
    await page.getByRole('heading', { name: 'Add carry_acc.csv and carry_gyro.csv' }).waitFor();
    await facts().waitFor();
    expect(await facts().innerText()).toContain('2,000');
    const footer = await page.locator('dialog footer').innerText();
    expect(footer).toContain('other.csv waits');
    expect(footer).toContain('spin_gyro.csv waits');
    await page.getByRole('button', { name: 'Take out' }).last().click();
    await page.getByText('Half of the motion is missing.').waitFor();
    for (let left = 4; left > 0; --left) await page.getByRole('button', { name: 'Cancel' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
  });

  test('a file that waits joins when it is told to', async () => {
    const rows = ['time_s,power_button', '0.000,0', '1.000,1', '1.200,0', '9.000,0'].join('\n');
    await drop(page, [['plain.csv', smallLog('load').replaceAll(/,[01]$/gm, ',7')]]);
    await page.getByText(/no column shows two states/).waitFor();
    await drop(page, [['buttons.csv', `${rows}\n`]]);
    await page.getByRole('button', { name: 'Join to this take' }).click();
    await figures().toMatch(/power_button 1/);
    await cancel();
  });

  test('a rate that is none is refused at its field; figures pale and nothing is asked of the server', async () => {
    await drop(page, [['counted.csv', smallLog().replace('time_ms', 'packet')]]);
    await page.locator('.mapping').waitFor();
    await page.getByLabel('What column packet is').selectOption('ignored');
    const rate = page.getByLabel('Sample rate, Hz');
    await rate.fill('200');
    await rate.press('Enter');
    await figures().toContain('200 Hz');
    const asked: string[] = [];
    page.on('request', (request) => asked.push(request.url()));
    for (const wrong of ['abc', '-5', '1e9', '0']) {
      await rate.fill(wrong);
      await rate.press('Enter');
      await page.getByText(`“${wrong}” is no sample rate.`).waitFor();
      expect(await page.locator('.read.is-stale').count()).toBe(1);
      expect(await isAddable()).toBe(false);
    }
    expect(asked.filter((url) => url.includes('/api/previews'))).toEqual([]);
    await rate.fill('100');
    await rate.press('Enter');
    await figures().toContain('100 Hz');
    expect(await page.locator('.read.is-stale').count()).toBe(0);
    expect(await isAddable()).toBe(true);
    await cancel();
  });

  test('a server that is gone is called that; the old figures pale until it is back', async () => {
    await drop(page, [['first.csv', smallLog('extra')]]);
    await facts().waitFor();
    await page.route('**/api/**', (route) => route.abort());
    await page.getByLabel('What column extra is').selectOption('button');
    await page.getByText('The server does not answer.').waitFor();
    expect(await page.locator('.read.is-stale').count()).toBe(1);
    expect(await isAddable()).toBe(false);
    await page.unroute('**/api/**');
    await page.getByRole('button', { name: 'Try again' }).click();
    await figures().toMatch(/extra 2/);
    await page.route('**/api/**', (route) => route.abort());
    await page.getByLabel('What column extra is').selectOption('label');
    await page.getByRole('button', { name: 'Go back to the last reading' }).click();
    await page.unroute('**/api/**');
    expect(await page.locator('.read.is-stale').count()).toBe(0);
    expect(await page.getByLabel('What column extra is').inputValue()).toBe('button');
    await cancel();
    bench.errors.splice(0);
  });

  test('a notice stands below the strip of the whole take, not over it', async () => {
    await page.locator('.take').first().click();
    await page.locator('.stave-speed').waitFor();
    await page.route('**/api/takes/*', (route) => route.abort());
    await page.locator('.take-panel summary').click();
    await page.locator('.take-panel input').first().fill('Other');
    await page.locator('.take-panel input').first().press('Tab');
    await page.locator('.notice.is-error').waitFor();
    const strip = (await page.locator('.strip').boundingBox())!;
    const notice = (await page.locator('.notice.is-error').boundingBox())!;
    expect(strip.y + strip.height).toBeLessThanOrEqual(notice.y);
    await page.unroute('**/api/takes/*');
    bench.errors.splice(0);
  });

  test('nothing else went wrong in these pages', () => {
    expect(bench.errors).toEqual([]);
  });
});
