import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { BrowserContext } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { sheetHtml } from '../../server/engine/export/sheet/html.ts';
import { sheetOf } from '../../server/engine/export/sheet/sheet.ts';
import { MADE_EVIDENCE, madeSetting, madeTake } from '../engine/kept/madeSetting.ts';
import { describeInBrowser } from './harness.ts';

/** All that makes a sheet long: five performers, twenty takes, and names without a place to break. */
const LONG = 'Lantern-parade-blade-corps-lead-spinner-of-the-second-evening';
const crowded = madeSetting({
  name: `${LONG} ${LONG}`,
  performers: [LONG, `${LONG}-2`],
  note: `${LONG} `.repeat(6),
  evidence: {
    ...MADE_EVIDENCE,
    takes: Array.from({ length: 20 }, (_, i) =>
      madeTake({
        id: `t${i}`,
        title: i % 3 === 0 ? LONG : `Routine ${i}`,
        performer: i % 2 === 0 ? LONG : 'Beginner',
        sources: [{ name: `${LONG}-${LONG}.csv`, sha256: 'ab'.repeat(32) }],
        cautions: ['peaks on clipped samples'],
      }),
    ),
    groups: Array.from({ length: 5 }, (_, i) => ({
      by: 'performer' as const,
      name: `${LONG}-${i}`,
      scores: MADE_EVIDENCE.scores,
    })),
  },
});

describeInBrowser('a sheet opened from disk', { withDemo: false }, (bench) => {
  let context: BrowserContext;
  beforeAll(async () => {
    context = await bench.browser.newContext({ offline: true, colorScheme: 'dark' });
  });
  afterAll(() => context.close());

  async function open(name: string, setting: ReturnType<typeof madeSetting>) {
    const path = join(bench.workspace, '..', `${name}.html`);
    writeFileSync(path, sheetHtml(sheetOf(setting)));
    const page = await context.newPage();
    const asked: string[] = [];
    page.on('request', (request) => asked.push(request.url()));
    page.on('console', (message) => asked.push(message.text()));
    await page.goto(pathToFileURL(path).href);
    return { page, asked, address: pathToFileURL(path).href };
  }

  test.each([
    ['usual', madeSetting(), 3],
    ['not judged', madeSetting({ evidence: null }), 1],
    ['crowded', crowded, 6],
  ] as const)('asks for nothing, is light, and stays within its page: %s', async (name, setting, pages) => {
    const { page, asked, address } = await open(name.replace(' ', '-'), setting);
    const beyond = () =>
      page.evaluate(() =>
        [...document.querySelectorAll('body *')]
          .filter((one) => one.getBoundingClientRect().right > innerWidth + 1)
          .map((one) => `${one.tagName} ${one.textContent?.slice(0, 40)}`),
      );
    for (const width of [1280, 794, 420]) {
      await page.setViewportSize({ width, height: 900 });
      expect(await page.evaluate(() => document.documentElement.scrollWidth), String(width)).toBe(width);
    }
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe(
      'rgb(255, 255, 255)',
    );
    // The room between the margins of A4, and of Letter.
    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    for (const width of [688, 710]) {
      await page.setViewportSize({ width, height: 900 });
      expect(await beyond(), String(width)).toEqual([]);
    }
    // No text of a map leaves it.
    const cut = await page.evaluate(
      () =>
        [...document.querySelectorAll('svg.map')].flatMap((map) =>
          [...map.querySelectorAll('text')].filter((text) => {
            const [own, all] = [text.getBoundingClientRect(), map.getBoundingClientRect()];
            return own.left < all.left - 1 || own.right > all.right + 1 || own.bottom > all.bottom + 1;
          }),
        ).length,
    );
    expect(cut).toBe(0);
    const pdf = (await page.pdf({ format: 'A4' })).toString('latin1');
    expect(pdf.match(/\/Type\s*\/Page\b/g)!.length).toBeLessThanOrEqual(pages);
    expect(asked).toEqual([address]);
    await page.close();
  });
});
