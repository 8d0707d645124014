import type { Page } from 'playwright-core';
import { beforeEach, expect, test } from 'vitest';
import { describeInBrowser, openTake, putCandidates, unfold, type Workbench } from './harness.ts';

describeInBrowser('the maps of stab, impact and twist', { withDemo: true }, (bench) => {
  beforeEach(() => putCandidates(bench));

  test('the stab’s, over all takes: a suggestion on the thrusts, its checks, and into B with all that it rests on', async () => {
    const page = await openSweep(bench);
    await page.getByRole('button', { name: 'All 8 takes' }).click();
    await page.getByRole('button', { name: 'Stab', exact: true }).click();
    await page.locator('[data-job="done"]').waitFor({ timeout: 60_000 });
    await expect.poll(() => page.url()).toMatch(/&sweep=stab&takes=all$/);
    const card = page.locator('.suggestion');
    const [, thrust, quiet] = /^([\d.]+) g after (\d+) ms of quiet$/.exec(
      await card.locator('.headline').innerText(),
    )!;
    await unfold(page, 'Why this one');
    const said = await card.innerText();
    expect(said).toMatch(/Missed\s+0 \/ 12/);
    expect(said).toMatch(/Rests on 12 thrusts labelled by the simulation, and 3\d\d other movements/);
    expect(said).toMatch(/Above a thrust of [\d.]+ g: \d+ more thrusts? would be missed \(Thrust line, /);
    await unfold(page, 'Checks');
    const tables = page.locator('.checks table');
    expect(await tables.nth(0).locator('tbody tr').count()).toBe(8);
    expect(await tables.nth(2).locator('tbody tr').count()).toBe(9);
    // All thrusts are in one take: no choice can be made without it, and the card must not claim that one held.
    expect(await page.locator('.checks').innerText()).toMatch(
      /No choice was tried on thrusts: leaving them out leaves nothing to choose by\./,
    );
    await page.getByRole('button', { name: 'Take it into B' }).click();
    await page.locator('.take-it').getByRole('button', { name: 'Keep B…' }).waitFor();
    expect(await markOf(page, 'b')).toBe(`${thrust} g after ${quiet} ms of quiet`);
    await page.reload();
    await page.getByText('Stab: thrust and quiet before').waitFor();
    expect(bench.errors).toEqual([]);
  });

  test('where no setting does well, or no gesture is labelled, it says so, and offers no number and no button', async () => {
    const page = await openSweep(bench);
    await page.getByRole('button', { name: 'All 8 takes' }).click();
    await page.getByRole('button', { name: 'Twist', exact: true }).click();
    await page.locator('[data-decline="noneGood"]').waitFor({ timeout: 60_000 });
    expect(await page.locator('.suggestion').innerText()).toMatch(
      /No setting does well: the best of all still misses \d+ of 11 twists/,
    );
    expect(await page.locator('.take-it, .suggested-mark, path.plateau').count()).toBe(0);
    await page.getByRole('button', { name: 'This take' }).click();
    await page.locator('[data-decline="noLabels"]').waitFor({ timeout: 60_000 });
    expect(await page.locator('.suggestion').innerText()).toMatch(/No twist is labelled in this take\./);
    expect(await page.locator('.map-card').innerText()).toMatch(/No twist is labelled in these takes\./);
    expect(await page.locator('.take-it').count()).toBe(0);
  });

  test('a candidate dragged on the impact’s map keeps its decimals, and the map stays as it is', async () => {
    const page = await openTake(bench, 'Parry drill', 'sweep');
    await page.getByRole('button', { name: 'Impact', exact: true }).click();
    await page.locator('[data-job="done"]').waitFor({ timeout: 60_000 });
    const picture = () =>
      page.locator('.map-card canvas').evaluate((canvas) => (canvas as HTMLCanvasElement).toDataURL());
    const [before, drawn] = [await markOf(page, 'a'), await picture()];
    await page.locator('.map-card .candidate.is-a').focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowUp');
    await expect.poll(() => markOf(page, 'a')).toBe('3.25 g, rising 0.31 g per 100\u00a0°/s');
    expect(await page.locator('[data-job]').getAttribute('data-job')).toBe('done');
    expect(await picture()).toBe(drawn);
    // B still plays by the rules that the map is drawn with.
    expect(await page.getByText('stands on a map that is not quite its own').count()).toBe(0);
    await page.keyboard.press('Control+z');
    await expect.poll(() => markOf(page, 'a')).toBe(before);
  });
});

async function openSweep(bench: Workbench): Promise<Page> {
  const page = await openTake(bench, 'Wall-plane', 'sweep');
  await page.locator('.sweep-grid:not(.is-old) .suggestion .headline').waitFor();
  return page;
}

async function markOf(page: Page, slot: 'a' | 'b'): Promise<string> {
  return page.locator(`.map-card .candidate.is-${slot}`).getAttribute('aria-valuetext').then(String);
}
