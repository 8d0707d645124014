import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { seededNormal } from '../../scripts/simulate/random.ts';
import { BROWSER, launchWorkbench, type Workbench } from './harness.ts';

describe.skipIf(!BROWSER)('bringing a log in', () => {
  let bench: Workbench;
  beforeAll(async () => {
    bench = await launchWorkbench({ withDemo: false });
  });
  afterAll(async () => bench?.close());

  test('an empty workspace says what to do', async () => {
    const page = await bench.openPage();
    expect(await page.locator('main').innerText()).toContain('drop the file');
    await page.context().close();
  });

  test('a dropped log is previewed, its mapping corrected, and found after a reload, its bytes as they were', async () => {
    const page = await bench.openPage();
    const text = smallLog();
    await drop(page, [['thumb.csv', text]]);
    await page.locator('.mapping').waitFor();
    expect(await page.locator('.facts').innerText()).toContain('200 Hz');

    // No name tells that "sw" is the power button: the user does.
    await page.getByLabel('What column sw is').selectOption('button');
    await expect.poll(() => page.locator('.facts').innerText()).toMatch(/sw 2/);
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
    await page.context().close();
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
    await page.context().close();
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
    await page.getByRole('button', { name: 'Bring back' }).click();
    await page.locator('.take', { hasText: 'Thumb slips' }).waitFor();
    await page.locator('.stave-speed').waitFor();
    await page.keyboard.press('n');
    await page.keyboard.press('s');
    await page.locator('[data-save="saved"]').waitFor();
    expect(await page.locator('.notice').filter({ hasText: 'Not saved' }).count()).toBe(0);
    await page.context().close();
  });

  test('nothing went wrong in any of these pages', () => {
    expect(bench.errors).toEqual([]);
  });
});

/** Ten seconds at 200 Hz: still, then swings; a column "sw" that goes to 1 twice. */
function smallLog(): string {
  const noise = seededNormal(7);
  const lines = ['time_ms,ax_g,ay_g,az_g,gx_dps,gy_dps,gz_dps,sw'];
  for (let i = 0; i < 2000; i++) {
    const t = i / 200;
    const swing = t > 3 && t < 8 ? 500 * Math.sin(2 * Math.PI * t) : 0;
    const isDown = (t >= 4.5 && t < 4.6) || (t >= 9.2 && t < 9.3);
    const force = [0, 0, 1].map((g) => (g + noise() * 0.005).toFixed(4));
    const rate = [0, swing, 0].map((dps) => (dps + noise() * 0.2).toFixed(2));
    lines.push([i * 5, ...force, ...rate, isDown ? 1 : 0].join(','));
  }
  return `${lines.join('\n')}\n`;
}

async function drop(page: Page, files: readonly (readonly [string, string])[]): Promise<void> {
  await page.locator('.top').waitFor();
  const transfer = await page.evaluateHandle((list) => {
    const data = new DataTransfer();
    for (const [name, text] of list) data.items.add(new File([text], name, { type: 'text/csv' }));
    return data;
  }, files);
  await page.dispatchEvent('body', 'drop', { dataTransfer: transfer });
}
