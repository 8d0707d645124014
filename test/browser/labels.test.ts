import { text } from 'node:stream/consumers';
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { parseLabelsCsv } from '../../server/engine/labels/labelsCsv.ts';
import { parseLabelsJson } from '../../server/engine/labels/labelsRead.ts';
import { describeInBrowser, openTake, score } from './harness.ts';

describeInBrowser('labelling in the Tune view', { withDemo: true }, (bench) => {
  test('J walks through swings with the traces centred, C confirms and goes on, undo takes it back', async () => {
    const page = await openTake(bench, 'Wall-plane');
    await page.keyboard.press('j');
    const bar = page.locator('.press-text');
    await expect
      .poll(() => bar.innerText())
      .toMatch(/Swing 1 of \d+, peak \d+ °\/s known from the simulation/);
    const first = await windowOf(page);
    await page.keyboard.press('c');
    await expect.poll(() => bar.innerText()).toContain('Swing 2 of');
    // The address follows a moment later.
    await expect.poll(async () => (await windowOf(page)).middleS).toBeGreaterThan(first.middleS);
    await openPanel(page);
    expect(await count(page, 'Swings', 'person')).toBe('1');
    await page.locator('.resting summary').click();
    expect(await page.locator('.basis').innerText()).toMatch(
      /\d+ swings \(1 by a person, \d+ from the simulation\)/,
    );

    await page.keyboard.press('Control+z');
    expect(await count(page, 'Swings', 'person')).toBe('–');
  });

  test('a confirmed label is kept over a reload', async () => {
    const page = await openTake(bench, 'Slow figure-eight');
    await page.keyboard.press('j');
    await page.keyboard.press('c');
    await page.locator('[data-save="saved"]').waitFor();
    await page.reload();
    await page.locator('.stave-speed').waitFor();
    await openPanel(page);
    expect(await count(page, 'Swings', 'person')).toBe('1');
  });

  test('a drag on the spinning lane labels a spin, Escape takes a drag back, X takes the label away', async () => {
    const page = await openTake(bench, 'Thrust line');
    const lane = page.locator('.label-ground').first();
    const spins = () => page.locator('[data-lane="spinning"]').getAttribute('d');
    const before = await spins();
    const box = (await lane.boundingBox())!;
    const y = box.y + box.height / 2;
    const drag = async (): Promise<void> => {
      await page.mouse.move(box.x + box.width * 0.35, y);
      await page.mouse.down();
      await page.mouse.move(box.x + box.width * 0.4, y, { steps: 4 });
    };
    await drag();
    await page.keyboard.press('Escape');
    await page.mouse.up();
    expect(await spins()).toBe(before);

    await drag();
    await page.mouse.up();
    await expect.poll(spins).not.toBe(before);
    expect(await page.locator('.press-text').innerText()).toContain('Spin 1 of 1 labelled by a person');
    expect(await score(page, 'open')).not.toBe('–');
    await page.keyboard.press('x');
    await expect.poll(spins).toBe(before);
  });

  test('in the label mode a drag across the staves labels a hit, and the impact’s score follows', async () => {
    const page = await openTake(bench, 'Parry drill');
    await page.locator('.gesture-scores summary').click();
    const before = await score(page, 'impact');
    await page.keyboard.press('l');
    await page.locator('.span-mode select').selectOption('hit');
    const box = (await page.locator('.span-overlay').boundingBox())!;
    await page.mouse.move(box.x + 30, box.y + 60);
    await page.mouse.down();
    await page.mouse.move(box.x + 42, box.y + 60, { steps: 4 });
    await page.mouse.up();
    const [hits, labelled] = before.split(' / ').map(Number);
    await expect.poll(() => score(page, 'impact')).toBe(`${hits} / ${labelled! + 1}`);
    await page.keyboard.press('Escape');
    expect(await page.locator('.span-overlay').count()).toBe(0);
    await page.keyboard.press('Control+z');
    expect(await score(page, 'impact')).toBe(before);
  });

  test('the ends of a chosen label can be typed', async () => {
    const page = await openTake(bench, 'Full routine');
    await page.keyboard.press('j');
    const start = page.getByLabel('Start, minutes and seconds');
    await start.fill('0:00.500');
    await start.press('Enter');
    await start.blur();
    await expect.poll(() => page.locator('.press-text').innerText()).toContain('labelled by a person');
    expect(await page.getByLabel('Start, minutes and seconds').inputValue()).toBe('0:00.500');
    await page.getByLabel('End, minutes and seconds').fill('0:00.400');
    await page.getByLabel('End, minutes and seconds').press('Enter');
    await page.getByText('the start lies before the end').waitFor();
    expect(await page.getByLabel('Start, minutes and seconds').inputValue()).toBe('0:00.500');
  });

  test('labels go out as JSON and as CSV, alike, and come in again in the place of others', async () => {
    const page = await openTake(bench, 'Twist dial');
    await openPanel(page);
    const json = parseLabelsJson(await exported(page, 'Export JSON'));
    expect(parseLabelsCsv(await exported(page, 'Export CSV'))).toEqual(json);
    expect(json.gestures).toHaveLength(11);

    const counts = () => count(page, 'Twists', 'simul.');
    expect(await counts()).toBe('11');
    const one = 'what;kind;startUs;endUs;by\ngesture;twist;1000;2000;person\n';
    await importFile(page, 'other.csv', one);
    await expect.poll(counts).toBe('–');
    expect(await count(page, 'Twists', 'person')).toBe('1');
    await importFile(page, 'all.json', JSON.stringify({ labels: json }));
    await expect.poll(counts).toBe('11');

    await importFile(page, 'broken.csv', 'what,kind,startUs\nspan,still,5\n');
    await page.getByText('broken.csv: line 2.endUs must be a whole number').waitFor();
    expect(await counts()).toBe('11');
    await page.locator('[data-save="saved"]').waitFor();
  });

  test('a press without a label inside a spin is proposed as stray, and C confirms it and goes on to the next', async () => {
    const page = await openTake(bench, 'First lesson');
    await openPanel(page);
    const before = Number(await count(page, 'Presses', 'simul.'));
    // Without a single press label, through the door that imports them.
    const spin = 'what,kind,startUs,endUs\nspan,spinning,0,76000000\n';
    await importFile(page, 'spin.csv', spin);
    await expect.poll(() => count(page, 'Presses', 'proposed')).toBe(`All ${before} stray`);
    await page.keyboard.press('n');
    await expect.poll(() => page.locator('.press-text').innerText()).toContain('C confirms');
    await page.keyboard.press('c');
    await expect.poll(() => count(page, 'Presses', 'person')).toBe('1');
    expect(await page.locator('.press-text').innerText()).toContain('Press 2 of');
    await page.getByRole('button', { name: `All ${before - 1} stray` }).click();
    await expect.poll(() => count(page, 'Presses', 'person')).toBe(String(before));
    expect(await score(page, 'stray')).toMatch(new RegExp(` / ${before}$`));
    for (let i = 0; i < 3; ++i) await page.getByRole('button', { name: 'Undo', exact: true }).first().click();
    await expect.poll(() => count(page, 'Presses', 'simul.')).toBe(String(before));
    await page.locator('[data-save="saved"]').waitFor();
  });

  test('nothing went wrong in any of these pages', () => expect(bench.errors).toEqual([]));
});

async function openPanel(page: Page): Promise<void> {
  await page.locator('.labels-panel summary').click();
  await page.locator('.label-table').waitFor();
  // The keys are the page's own again.
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
}

async function count(page: Page, row: string, column: string): Promise<string> {
  const heads = await page.locator('.label-table thead th').allInnerTexts();
  const cells = page.locator('.label-table tr', { hasText: row }).locator('th, td');
  return (await cells.nth(heads.findIndex((head) => head.trim() === column)).innerText()).trim();
}

async function windowOf(page: Page): Promise<{ middleS: number }> {
  await page.waitForFunction(() => location.hash.includes('from='));
  const words = new URLSearchParams((await page.evaluate(() => location.hash)).slice(1));
  return { middleS: (Number(words.get('from')) + Number(words.get('to'))) / 2 };
}

async function exported(page: Page, name: string): Promise<string> {
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name }).click(),
  ]);
  return text(await download.createReadStream());
}

async function importFile(page: Page, name: string, text: string): Promise<void> {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: 'Import…' }).click(),
  ]);
  await chooser.setFiles({ name, mimeType: 'text/plain', buffer: Buffer.from(text) });
}
