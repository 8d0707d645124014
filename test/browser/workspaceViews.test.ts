import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { wilsonInterval } from '../../server/engine/statistics/wilson.ts';
import { CANDIDATE_A, describeInBrowser, putCandidates, unfold, type Workbench } from './harness.ts';

describeInBrowser('the views of the whole workspace', { withDemo: true }, (bench) => {
  test('Compare shows every take with both candidates, marks the worst by shape and word, and sorts', async () => {
    const page = await openView(bench, 'compare');
    await page.locator('[data-compare="done"]').waitFor({ timeout: 60_000 });
    await unfold(page, 'Every score');
    expect(await page.locator('[data-compared]').count()).toBe(8);
    expect(await page.locator('[data-compared] tr').count()).toBe(16);
    const worst = page.locator('td[data-score="missed"]:has(.worst)');
    expect(await worst.first().innerText()).toMatch(/^\d+\/\d+\s*▼ worst$/);

    await page.getByRole('button', { name: /^Missed/ }).click();
    const leastShares = (
      await page.locator('[data-compared] tr:first-child td[data-score="missed"]').allInnerTexts()
    ).map((text) => {
      const [k, n] = /^(\d+)\/(\d+)/.exec(text)!.slice(1).map(Number);
      return wilsonInterval(k!, n!)!.low;
    });
    expect(leastShares).toEqual([...leastShares].sort((a, b) => b - a));
    expect(await page.locator('th[aria-sort="descending"]').innerText()).toContain('Missed');
  });

  test('it tells A from B on the same presses, and what one setting for all costs', async () => {
    const page = await openView(bench, 'compare');
    await page.locator('[data-compare="done"]').waitFor({ timeout: 60_000 });
    for (const name of ['A against B', 'One guard for all', 'Swing speeds', 'Two takes'])
      await unfold(page, name);
    expect(await page.locator('[data-pairing]').innerText()).toMatch(
      /Of \d+ presses on which they differ.*B does better/,
    );
    expect(await page.locator('[data-sharing]').innerText()).toMatch(/^\d+ °\/s, hold \d+ ms for all/);
    // Each pays in waiting at most; the beginner's shorter wait is bought with room.
    expect((await page.locator('.sharing td.price').allInnerTexts()).join('; ')).toMatch(
      /\d+ ms longer wait; \d+ ms shorter wait, \d+ % of room instead of 20 %$/,
    );
    expect(await page.locator('.across').allInnerTexts()).toHaveLength(2);
    await page.locator('.two-staves').scrollIntoViewIfNeeded();
    await page.locator('.stave-pair .stave').nth(1).waitFor();
  });

  test('with a threshold of its own for each candidate, no word of the speeds lies over another', async () => {
    const { guard, deflection } = CANDIDATE_A;
    const own = { guard: { ...guard, speedDps: 100 }, deflection: { ...deflection, speedDps: 300 } };
    await putCandidates(bench, { ...CANDIDATE_A, ...own });
    const page = await openView(bench, 'compare');
    await unfold(page, 'Swing speeds');
    await page.locator('.shares tbody tr').first().waitFor({ timeout: 60_000 });
    expect(await page.locator('.across').count()).toBe(4);
    const chart = (await page.locator('.speed-chart svg').boundingBox())!;
    const table = (await page.locator('.shares').boundingBox())!;
    expect(table.y).toBeGreaterThanOrEqual(chart.y + chart.height);
    await page.context().close();
    await putCandidates(bench);
  });

  test('Compare says first for whom it holds: a row a performer by the candidate chosen, with the worst take', async () => {
    const page = await openView(bench, 'compare');
    await page.locator('[data-compare="done"]').waitFor({ timeout: 60_000 });
    const holds = () => page.locator('[data-holds]').innerText();
    const cells = (performer: string) =>
      page.locator(`[data-performer="${performer}"] :is(th, td)`).allInnerTexts();
    await expect
      .poll(holds)
      .toBe('Presses go wrong for all 3 performers, swings are missed for all 3 performers.');
    const lead = await cells('Lead spinner');
    expect(lead.slice(0, 2)).toEqual(['Lead spinner', 'candidate A']);
    await unfold(page, 'Every score');
    // The row is the sum of the takes of that performer.
    const through = await page
      .locator('[data-compared]', { hasText: 'Lead spinner' })
      .locator('tr:first-child td[data-score="strays"]')
      .allInnerTexts();
    const [k, n] = [0, 1].map((i) =>
      through.reduce((sum, text) => sum + Number(/(\d+)\/(\d+)/.exec(text)![i + 1]), 0),
    );
    expect(lead[2]).toBe(`${k}/${n}`);
    await page.getByRole('button', { name: 'by B', exact: true }).click();
    const byB = await cells('Lead spinner');
    expect(byB[1]).toBe('candidate B');
    expect(Number(byB[2]!.split('/')[0])).toBeLessThan(k!);
  });

  test('a take’s name opens it in Tune', async () => {
    const page = await openView(bench, 'compare');
    await page.locator('.take-link', { hasText: 'Parry drill' }).click();
    await page.locator('.stave-speed').waitFor();
    expect(await page.locator('.take[aria-current="true"] .take-title').innerText()).toBe('Parry drill');
  });

  test('the plan ticks off what the demo takes hold, and names what is missing', async () => {
    const page = await openView(bench, 'plan');
    await page.locator('[data-plan="whole"]').waitFor({ timeout: 60_000 });
    expect(await page.locator('[data-drill="still"]').first().getAttribute('data-status')).toBe('done');
    // What is ticked off is out of sight until it is asked for.
    const still = page.locator('[data-drill="still"] .drill-count');
    expect(await still.isVisible()).toBe(false);
    await page.getByRole('region', { name: 'For this prop, by anyone' }).getByText('5 ticked off').click();
    await still.waitFor();
    expect(await still.innerText()).toMatch(/^\d+ s$/);
    await page.locator('[data-drill="still"] summary').click();
    expect(await page.locator('[data-drill="still"]').innerText()).toContain('10 s needed.');
    const strays = page.locator('[data-drill="strays"]');
    expect(await strays.getAttribute('data-status')).toBe('missing');
    expect(await strays.innerText()).toMatch(/\d+ of 59/);
    // The first of the plan that is missing is the next to record.
    const next = page.locator('[data-next="strays"]');
    expect(await next.innerText()).toMatch(
      /^Record next\s+Stray presses in a spin: \d+ more\s+Spin with the light off/,
    );
  });

  test('nothing went wrong in any of these pages', () => expect(bench.errors).toEqual([]));
});

describeInBrowser('an empty workspace', { withDemo: false }, (bench) => {
  test('has nothing to compare and says so, and plans everything', async () => {
    const page = await openView(bench, 'compare');
    await page.getByText('Nothing to compare yet.').waitFor();
    await page.getByRole('button', { name: 'Plan', exact: true }).click();
    await page.getByText('Nothing is recorded yet.').waitFor();
    expect(await page.locator('[data-drill][data-status="missing"]').count()).toBeGreaterThan(6);
    expect(bench.errors).toEqual([]);
  });
});

function openView(bench: Workbench, view: string): Promise<Page> {
  return bench.openPage(`/#view=${view}`);
}
