import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { drop, smallLog } from './drop.ts';
import { describeInBrowser } from './harness.ts';

describeInBrowser('bringing a log in', { withDemo: false }, (bench) => {
  test('an empty workspace says what to do', async () => {
    const page = await bench.openPage();
    // Three ways, each with its button.
    const step = page.getByRole('region', { name: 'Or drop a log' });
    expect(await step.innerText()).toMatch(/CSV with acceleration[\s\S]*Choose files/);
    await page.getByRole('button', { name: 'See the demo' }).waitFor();
  });

  test('a dropped log is previewed, its mapping corrected, and found after a reload, its bytes as they were', async () => {
    const page = await bench.openPage();
    const text = smallLog('extra');
    await drop(page, [['thumb.csv', text]]);
    await page.locator('.mapping').waitFor();
    expect(await page.locator('.facts').innerText()).toContain('200 Hz');

    // No name tells that "extra" is the power button: the user does.
    await page.getByLabel('What column extra is').selectOption('button');
    await expect.poll(() => page.locator('.facts').innerText()).toMatch(/extra 2/);
    await page.getByLabel('Title').fill('Thumb slips');
    await page.getByLabel('Performer').fill('Lead spinner');
    await page.getByRole('button', { name: 'Add this take' }).click();
    await page.locator('.take', { hasText: 'Thumb slips' }).waitFor();
    await page.locator('[data-press="a.1"]').waitFor();

    await page.reload();
    await page.locator('.take', { hasText: 'Thumb slips' }).click();
    await page.locator('[data-press="a.1"]').waitFor();
    expect(await page.locator('.take', { hasText: 'Thumb slips' }).innerText()).toContain('2 presses');
    const takes = join(bench.workspace, 'takes');
    const source = join(takes, readdirSync(takes)[0]!, 'source', 'thumb.csv');
    expect(readFileSync(source, 'utf8')).toBe(text);
  });

  test('what is no motion log is refused with the reason, and nothing is left behind', async () => {
    const page = await bench.openPage();
    const takesBefore = readdirSync(join(bench.workspace, 'takes')).length;
    await drop(page, [['shopping.csv', 'item,price\nlamp oil,3.20\nwick,0.80\n']]);
    const problem = page.locator('dialog .problem');
    await problem.waitFor();
    expect(await problem.innerText()).toMatch(/shopping\.csv|acceler|rate/i);
    expect(await page.getByRole('button', { name: 'Add this take' }).isDisabled()).toBe(true);
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
    expect(readdirSync(join(bench.workspace, 'takes')).length).toBe(takesBefore);
  });

  test('a removed take can be brought back', async () => {
    const page = await bench.openPage();
    await page.locator('.take', { hasText: 'Thumb slips' }).click();
    await page.locator('.stave-speed').waitFor();
    await page.locator('.take-panel summary').click();
    await page.getByRole('button', { name: 'Remove take' }).click();
    await page.locator('.take', { hasText: 'Thumb slips' }).waitFor({ state: 'detached' });
    // It was the only one: nothing of it stays on the page, and nothing more is saved of it.
    await page.getByText('Nothing recorded yet.').waitFor();
    expect(await page.locator('.scores, .stave-speed').count()).toBe(0);
    await page.getByRole('button', { name: 'Restore' }).click();
    await page.locator('.take', { hasText: 'Thumb slips' }).waitFor();
    await page.locator('.stave-speed').waitFor();
    await page.keyboard.press('n');
    await page.keyboard.press('s');
    await page.locator('[data-save="saved"]').waitFor();
    expect(await page.locator('.notice').filter({ hasText: 'Not saved' }).count()).toBe(0);

    // Once the notice is gone, the list of removed takes has it.
    await page.locator('.take-panel summary').click();
    await page.getByRole('button', { name: 'Remove take' }).click();
    await page.locator('.take', { hasText: 'Thumb slips' }).waitFor({ state: 'detached' });
    await page.reload();
    await page.locator('.removed summary').click();
    await page.locator('.removed li', { hasText: 'Thumb slips' }).getByRole('button').click();
    await page.locator('.take', { hasText: 'Thumb slips' }).waitFor();
    await page.locator('.removed').waitFor({ state: 'detached' });
    // What was still asked of the take as it went is answered that it is not there.
    const isLate = (error: string) => /status of 404 .*\/api\/takes\/thumb-slips-/.test(error);
    bench.errors.splice(0, Infinity, ...bench.errors.filter((error) => !isLate(error)));
  });

  test('nothing went wrong in any of these pages', () => {
    expect(bench.errors).toEqual([]);
  });
});
