import type { Page } from 'playwright-core';
import { beforeEach, expect, test } from 'vitest';
import {
  CANDIDATE_A,
  describeInBrowser,
  openTake,
  painted,
  putCandidates,
  score,
  showSettings,
  unfold,
  type Workbench,
} from './harness.ts';

describeInBrowser('Sweep', { withDemo: true }, (bench) => {
  beforeEach(() => putCandidates(bench));

  test('the guard’s suggestion, taken, lets no stray through and refuses no wanted press; undo brings both back', async () => {
    const page = await openSweep(bench);
    await showSettings(page);
    const before = await scores(page);
    expect(before).toEqual({ stray: '5 / 10', wanted: '0 / 10' });
    const [, speed, hold] = /^(\d+) °\/s, hold (\d+) ms$/.exec(await suggestion(page))!;
    await page.getByRole('button', { name: 'Take it into A' }).click();
    expect(await scores(page)).toEqual({ stray: '0 / 10', wanted: '0 / 10' });
    expect(await markOf(page, 'a')).toBe(`${speed} °/s, hold ${hold} ms`);
    // What it has can be kept; it cannot be taken again.
    await page.locator('.take-it').getByRole('button', { name: 'Keep A…' }).waitFor();
    expect(await page.getByRole('button', { name: 'Take it into A' }).count()).toBe(0);
    await page.keyboard.press('Control+z');
    expect(await scores(page)).toEqual(before);
    expect(await markOf(page, 'a')).toBe('240 °/s, hold 0 ms');
  });

  test('the beginner, whom no press tells how long a hold may be, is suggested no longer a one than a fifth of room takes', async () => {
    const page = await openTake(bench, 'First lesson', 'sweep');
    await page.locator('.sweep-grid:not(.is-old) .suggestion .headline').waitFor();
    const [, hold] = /hold (\d+) ms$/.exec(await suggestion(page))!;
    // Halfway to the map's end lie 390 ms.
    expect(Number(hold)).toBeLessThanOrEqual(330);
    await unfold(page, 'Why this one');
    const words = await page.locator('.suggestion').innerText();
    expect(words).toContain(
      'The shortest hold that leaves 20 % of room, or more, before anything known to do worse.',
    );
    expect(words).toContain('600 ms is the longest tried, no margin');
  });

  test('a candidate dragged on the map takes its settings and scores along, in one step of undo; Escape takes a drag back', async () => {
    const page = await openSweep(bench);
    await showSettings(page);
    const before = await markOf(page, 'a');
    const target = (await page.locator('.suggested-mark').boundingBox())!;
    const [x, y] = [target.x + target.width / 2, target.y + target.height / 2];
    await grab(page, 'a');
    await page.mouse.move(x, y, { steps: 5 });
    const [, speed, hold] = /^(\d+) °\/s, hold (\d+) ms$/.exec(await suggestion(page))!;
    await expect.poll(() => markOf(page, 'a')).not.toBe(before);
    const [, itsSpeed, itsHold] = /^(\d+) °\/s, hold (\d+) ms$/.exec(await markOf(page, 'a'))!;
    // a pixel is about 2 deg/s and 2 ms
    expect(Math.abs(Number(itsSpeed) - Number(speed))).toBeLessThan(8);
    expect(Math.abs(Number(itsHold) - Number(hold))).toBeLessThan(8);
    await page.mouse.up();
    expect(await scores(page)).toEqual({ stray: '0 / 10', wanted: '0 / 10' });
    await page.keyboard.press('Control+z');
    await expect.poll(() => markOf(page, 'a')).toBe(before);

    await grab(page, 'b');
    const ofB = await markOf(page, 'b');
    await page.mouse.move(x, y, { steps: 3 });
    await expect.poll(() => markOf(page, 'b')).not.toBe(ofB);
    await page.keyboard.press('Escape');
    await expect.poll(() => markOf(page, 'b')).toBe(ofB);
    await page.mouse.up();
  });

  test('a candidate at the map’s edge covers no number of an axis', async () => {
    await putCandidates(bench, {
      ...CANDIDATE_A,
      guard: { ...CANDIDATE_A.guard, speedDps: 20, holdMs: 200 },
    });
    const page = await openSweep(bench);
    expect(await markOf(page, 'b')).toBe('20 °/s, hold 200 ms');
    const mark = (await page.locator('.map-card .candidate.is-b').boundingBox())!;
    const numbers = await page.locator('.map-card .frame-axes text:not(.frame-name)').all();
    const boxes = await Promise.all(numbers.map(async (one) => (await one.boundingBox())!));
    // 200 and 400 of one axis or the other are among them
    expect(boxes.length).toBeGreaterThan(6);
    const covered = boxes.filter(
      ({ x, y, width, height }) =>
        x < mark.x + mark.width && mark.x < x + width && y < mark.y + mark.height && mark.y < y + height,
    );
    expect(covered).toEqual([]);
  });

  test('every layer of both maps is drawn or says why not; the plateau has an outline; four rules are weighed', async () => {
    const page = await openSweep(bench);
    // What outline and star mean is said.
    expect(await page.locator('.map-legend').innerText()).toMatch(
      /wrong presses[\s\S]*green: none[\s\S]*suggested[\s\S]*outlined: just as good/,
    );
    const guard = await drawnLayers(page, [
      'wrong',
      'strays',
      'wanted',
      'reversals',
      'open',
      'wait',
      'quiet',
    ]);
    expect(new Set(guard).size).toBe(7);
    // an edge a stroke: a region has four or more
    const outline = await page.locator('.map-card path.plateau').getAttribute('d');
    expect(outline!.split('M').length - 1).toBeGreaterThanOrEqual(4);
    await unfold(page, 'What each rule buys');
    expect(await page.locator('.front-legend li').count()).toBe(4);
    expect(await page.locator('.trade-off .front path').count()).toBeGreaterThanOrEqual(3);
    await page.getByRole('button', { name: 'by time' }).click();
    await page.getByText('wait after a stop, ms').waitFor();
    await page.getByRole('button', { name: 'Deflection', exact: true }).click();
    await page.getByText('re-arms below this part of it').waitFor();
    // At no speed does a swing of this take fire twice: that layer is of one colour.
    const deflection = await drawnLayers(page, ['wrong', 'missed', 'outside', 'delay', 'twice']);
    expect(new Set(deflection).size).toBeGreaterThanOrEqual(4);
    expect(bench.errors).toEqual([]);
  });

  test('a reload comes back to the deflection’s map and the takes chosen, as Back does', async () => {
    const page = await openSweep(bench);
    const pressed = () => page.locator('.view-bar button[aria-pressed="true"]').allInnerTexts();
    await page.getByRole('button', { name: 'Deflection', exact: true }).click();
    await page.getByRole('button', { name: 'Choose' }).click();
    await page.locator('.scope-list label', { hasText: 'Slow figure-eight' }).click();
    await expect.poll(pressed).toEqual(['Deflection', '2 chosen ▾']);
    await expect.poll(() => page.url()).toMatch(/&sweep=deflection&takes=[a-z0-9-]+,[a-z0-9-]+$/);
    await page.reload();
    await expect.poll(pressed).toEqual(['Deflection', '2 chosen ▾']);
    await page.getByRole('button', { name: /^All / }).click();
    await expect.poll(() => page.url()).toMatch(/&takes=all$/);
    await page.getByRole('button', { name: 'Tune', exact: true }).click();
    await page.waitForURL(/view=tune/);
    await page.goBack();
    await expect.poll(pressed).toEqual(['Deflection', 'All 8 takes']);
  });

  test('over all takes the deflection’s suggestion is checked on takes and performers left out, and under stress', async () => {
    const page = await openSweep(bench);
    await page.getByRole('button', { name: 'All 8 takes' }).click();
    await page.getByRole('button', { name: 'Deflection', exact: true }).click();
    await page.locator('.checks-fold summary', { hasText: 'Under stress' }).waitFor({ timeout: 100_000 });
    await unfold(page, 'Checks');
    const checks = page.locator('.checks');
    await checks.locator('table').nth(2).waitFor({ timeout: 100_000 });
    expect(await checks.locator('table').nth(0).locator('tbody tr').count()).toBe(8);
    expect(await checks.locator('table').nth(1).locator('tbody tr').count()).toBe(3);
    expect(await checks.locator('table').nth(2).locator('tbody tr').count()).toBe(6);
    await showSettings(page);
    await page.getByText('In “Wall-plane reversals” alone.').waitFor();
    await unfold(page, 'Why this one');
    expect(await page.locator('.suggestion').innerText()).toMatch(
      /What would change it[\s\S]*Below \d+ °\/s/,
    );
  });
});

async function openSweep(bench: Workbench): Promise<Page> {
  const page = await openTake(bench, 'Wall-plane', 'sweep');
  await page.locator('.sweep-grid:not(.is-old) .suggestion .headline').waitFor();
  return page;
}

/** The picture of every layer. */
async function drawnLayers(page: Page, layers: readonly string[]): Promise<string[]> {
  const pictures: string[] = [];
  for (const layer of layers) {
    await page.locator('.layer select').selectOption(layer);
    await painted(page);
    pictures.push(
      await page.locator('.map-card canvas').evaluate((canvas) => (canvas as HTMLCanvasElement).toDataURL()),
    );
  }
  return pictures;
}

function suggestion(page: Page): Promise<string> {
  return page.locator('.suggestion .headline').innerText();
}

async function scores(page: Page): Promise<{ stray: string; wanted: string }> {
  return { stray: await score(page, 'stray'), wanted: await score(page, 'wanted') };
}

async function markOf(page: Page, slot: 'a' | 'b'): Promise<string> {
  return page.locator(`.map-card .candidate.is-${slot}`).getAttribute('aria-valuetext').then(String);
}

async function grab(page: Page, slot: 'a' | 'b'): Promise<void> {
  const box = (await page.locator(`.map-card .candidate.is-${slot}`).boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
}
