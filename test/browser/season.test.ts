import { cpSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { Workspace } from '../../server/store/workspace.ts';
import { smallLog } from '../store/smallLog.ts';
import { describeInBrowser, unfold } from './harness.ts';

const TAKES = 260;
const PERFORMERS = ['Beginner', 'Lead spinner'];

/** A take of a second, and copies of it under other names. */
async function addTakes(path: string): Promise<void> {
  const workspace = await Workspace.open(path, { ingest: inlineIngest() });
  const { uploadId } = await workspace.uploads.receive('log.csv', Readable.from([Buffer.from(smallLog())]));
  const { mapping } = await workspace.preview([uploadId], {}, {});
  const names = { title: 'Take 000', performer: PERFORMERS[0]!, drill: '' };
  const { id } = await workspace.addTake({ uploadIds: [uploadId], mapping, ...names }, {});
  await workspace.close();
  const first = join(path, 'takes', id);
  // So short a take is not fit to choose on: it counts even so.
  const text = readFileSync(join(first, 'take.json'), 'utf8');
  const document = { ...JSON.parse(text), useUnfit: true };
  writeFileSync(join(first, 'take.json'), JSON.stringify(document));
  for (let i = 1; i < TAKES; ++i) {
    const number = String(i).padStart(3, '0');
    const folder = join(path, 'takes', `take-${number}`);
    cpSync(first, folder, { recursive: true });
    const own = { id: `take-${number}`, title: `Take ${number}`, performer: PERFORMERS[i % 2] };
    writeFileSync(join(folder, 'take.json'), JSON.stringify({ ...document, ...own }));
  }
}

describeInBrowser('a workspace of many takes', { withDemo: false, prepare: addTakes }, (bench) => {
  test('renders the part of the list that is in sight, and the rest as it is scrolled to', async () => {
    const page = await bench.openPage();
    const take = (title: string) => page.locator('.take', { hasText: title });
    await page.locator('.take[aria-current="true"]').waitFor();
    expect(await rendered(page)).toBeLessThan(160);
    expect(await take('Take 130').count()).toBe(0);
    const side = page.locator('.side.takes');
    const heightPx = () => side.evaluate((element) => element.scrollHeight);
    const before = await heightPx();
    // Half-way down the list of the first performer, whose takes have even numbers.
    await side.evaluate((element) => element.scrollTo(0, element.scrollHeight / 4));
    await take('Take 130').waitFor();
    expect(await rendered(page)).toBeLessThan(220);
    // What is not rendered keeps its room, so that nothing jumps.
    expect(Math.abs((await heightPx()) / before - 1)).toBeLessThan(0.2);
    await take('Take 130').click();
    await page.locator('.take[aria-current="true"]', { hasText: 'Take 130' }).waitFor();
    expect(bench.errors).toEqual([]);
  });

  test('the arrow keys go through all of it, Home and End to its ends', async () => {
    const page = await bench.openPage();
    await page.locator('.take[aria-current="true"]').focus();
    const focused = () =>
      page.evaluate(() => document.activeElement?.querySelector('.take-title')?.textContent);
    await page.keyboard.press('End');
    expect(await focused()).toBe('Take 259');
    await page.keyboard.press('Home');
    expect(await focused()).toBe('Take 000');
    for (let i = 1; i <= 90; ++i) {
      await page.keyboard.press('ArrowDown');
      const title = `Take ${String(2 * i).padStart(3, '0')}`;
      await expect.poll(focused, { interval: 5 }).toBe(title);
    }
  });

  test('Compare lists a hundred takes at a time, and counts all', async () => {
    const page = await bench.openPage('/#view=compare');
    await unfold(page, 'Every score');
    const rows = () => page.locator('[data-compared]').count();
    await expect.poll(rows).toBe(100);
    await page.locator('[data-compare="done"]').waitFor({ timeout: 60_000 });
    expect(await page.locator('.compare-table .totals').innerText()).toContain(`All ${TAKES} takes`);
    await page.getByRole('button', { name: 'list 100 more' }).click();
    await expect.poll(rows).toBe(200);
  });

  test('the list of takes is found in an index at the next start', async () => {
    const { takes } = await (await fetch(`${bench.server.address}/api/workspace`)).json();
    expect(takes).toHaveLength(TAKES);
    await expect.poll(() => existsSync(join(bench.workspace, 'takes-index.json'))).toBe(true);
  });
});

function rendered(page: Page): Promise<number> {
  return page.locator('.take').count();
}
