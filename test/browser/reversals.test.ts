import type { Page } from 'playwright-core';
import { beforeEach, expect, test } from 'vitest';
import { describeInBrowser, openTake, putCandidates } from './harness.ts';

describeInBrowser('reversals, and finding one’s way', { withDemo: true }, (bench) => {
  beforeEach(() => putCandidates(bench));

  test('every reversal is a row; a click on one shows the staves at that time', async () => {
    const page = await openTake(bench, 'Wall-plane', 'reversals');
    await page.getByRole('button', { name: /^All \d+ reversals, one by one$/ }).click();
    const rows = page.locator('.reversal-table tbody tr');
    await rows.first().waitFor();
    const said = await page.getByText(/^\d+ reversals; candidate A’s guard opens at/).innerText();
    expect(await rows.count()).toBe(Number(/^\d+/.exec(said)![0]));

    const seconds = Number.parseFloat(await rows.nth(20).locator('td').first().innerText());
    await rows.nth(20).locator('td').nth(3).click();
    await page.locator('.stave-speed').waitFor();
    await expect.poll(() => place(page, 'view')).toBe('tune');
    const [from, to] = [Number(await place(page, 'from')), Number(await place(page, 'to'))];
    expect(to - from).toBeCloseTo(3, 6);
    expect((from + to) / 2).toBeCloseTo(seconds, 1);
  });

  test('a press that was let through is a picture of its dip and has its cause in a sentence, and the hold named there refuses it, until that is undone', async () => {
    const page = await openTake(bench, 'Wall-plane', 'reversals');
    const slips = page.locator('.slips li');
    await slips.first().waitFor();
    const before = await slips.count();
    expect(await slips.locator('.dip-sketch').count()).toBe(before);
    // The hold that is named is as long as it is drawn, and reaches the press.
    const named = await slips
      .first()
      .getByRole('button', { name: /^hold \d+ ms$/ })
      .innerText();
    const sketch = await slips
      .first()
      .locator('.dip-sketch')
      .evaluate((svg) => {
        const box = (part: string) => {
          const { x, width } = svg.querySelector<SVGGraphicsElement>(part)!.getBBox();
          return { x, width };
        };
        return { dip: box('.dip-ground'), needed: box('.sketch-needed'), press: box('.dip-lead').x };
      });
    const dipMs = Number.parseInt(await slips.first().locator('.sketch-width').innerHTML(), 10);
    const neededMs = (sketch.needed.width / sketch.dip.width) * dipMs;
    expect(Math.abs(neededMs - Number.parseInt(named.slice(5), 10))).toBeLessThan(2);
    expect(sketch.needed.x + sketch.needed.width).toBeGreaterThanOrEqual(sketch.press);
    await slips.first().locator('summary').click();
    expect(await slips.first().locator('p').first().innerText()).toMatch(
      /^The blade turned back here \(turn \d+°\) and was at \d+ °\/s; it stays below 240 °\/s for \d+ ms, and the hold is 0 ms\./,
    );
    await page.getByRole('button', { name: `refuses all ${before}` }).click();
    // What B comes to is looked at next.
    await page.getByText('None is let through.').waitFor();
    await page.getByText(/Candidate B lets 0 of \d+ stray presses through/).waitFor();
    const notice = page.locator('.notice', { hasText: 'Candidate B now has hold' });
    await notice.getByRole('button', { name: 'Undo' }).click();
    await page.getByText(/Candidate B lets [1-9] of \d+ stray presses through/).waitFor();
  });

  test('Back steps through views and takes, not through every move within one', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const field = page.locator('.settings .number input').first();
    await field.press('ArrowUp');
    await zoom(page);
    await expect.poll(() => place(page, 'from')).not.toBeNull();
    const zoomed = await place(page, 'from');
    await page.getByRole('button', { name: 'Reversals', exact: true }).click();
    await expect.poll(() => place(page, 'view')).toBe('reversals');
    await page.locator('.take', { hasText: 'Parry drill' }).click();
    await expect.poll(() => place(page, 'take')).toMatch(/^parry/);
    expect(await page.title()).toBe('Parry drill · Reversals · Moulinet');

    await page.goBack();
    await expect.poll(() => place(page, 'take')).toMatch(/^wall-plane/);
    expect(await currentView(page)).toBe('Reversals');
    await page.goBack();
    await page.locator('.stave-speed').waitFor();
    expect(await place(page, 'view')).toBe('tune');
    expect(await place(page, 'from')).toBe(zoomed);
    expect(await page.title()).toBe('Wall-plane reversals · Tune · Moulinet');
    await page.goForward();
    await expect.poll(() => currentView(page)).toBe('Reversals');
  });

  test('an address that changes twice in a row leads to the last one', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const id = await page.locator('.take', { hasText: 'Parry drill' }).getAttribute('data-take');
    await page.evaluate((take) => {
      location.hash = 'view=plan';
      location.hash = `view=reversals&take=${take}`;
    }, id);
    await expect.poll(() => currentView(page)).toBe('Reversals');
    // Once the page has written its own address over it, which names candidates too, it has settled.
    await expect.poll(() => place(page, 'candidate')).toBe('a,b');
    expect(await place(page, 'take')).toBe(id);
    expect(await place(page, 'view')).toBe('reversals');
    expect(await currentView(page)).toBe('Reversals');
  });

  test('a click on the strip outside the window brings the window there', async () => {
    const page = await openTake(bench, 'Wall-plane');
    await zoom(page);
    await expect.poll(() => place(page, 'from')).not.toBeNull();
    const length = Number(await place(page, 'to')) - Number(await place(page, 'from'));
    const canvas = (await page.locator('.strip canvas').boundingBox())!;
    await page.mouse.click(canvas.x + 0.7 * canvas.width, canvas.y + canvas.height / 2);
    // The take lasts 51.6 s.
    await expect.poll(async () => Number(await place(page, 'from')) + length / 2).toBeCloseTo(0.7 * 51.58, 0);
    expect(Number(await place(page, 'to')) - Number(await place(page, 'from'))).toBeCloseTo(length, 4);
  });

  test('Tab passes over a line that lies under an equal one', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const line = (slot: string) => page.locator(`[data-threshold="${slot}.stab.thrustG"]`);
    await page.locator('[data-stave="thrust"]').click();
    // A and B agree on the thrust.
    expect(await line('a').getAttribute('tabindex')).toBe('0');
    expect(await line('b').getAttribute('tabindex')).toBe('-1');
    expect(await line('b').locator('.tag').count()).toBe(0);
    await line('a').press('ArrowUp');
    await expect.poll(() => line('b').getAttribute('tabindex')).toBe('0');
    expect(await line('b').locator('.tag').innerText()).toBe('stab B 1');
    await page.keyboard.press('Control+z');
  });

  test('on a narrow page Escape puts the pulled-out panel back', async () => {
    const page = await bench.openPage('/', { viewport: { width: 900, height: 700 } });
    await page.locator('.stave-speed').waitFor();
    const button = page.getByRole('button', { name: 'Show or hide the settings' });
    const panel = page.locator('.side.panels');
    await button.click();
    expect(await panel.isVisible()).toBe(true);
    await panel.locator('.number input').first().fill('999999');
    await page.keyboard.press('Escape');
    // The first one takes back what was typed.
    expect(await panel.isVisible()).toBe(true);
    await page.keyboard.press('Escape');
    await expect.poll(() => panel.isVisible()).toBe(false);
    expect(await button.evaluate((one) => one === document.activeElement)).toBe(true);
  });

  test('nothing went wrong in any of these pages', () => expect(bench.errors).toEqual([]));
});

async function zoom(page: Page): Promise<void> {
  const box = (await page.locator('.stave-speed .over').boundingBox())!;
  await page.mouse.move(box.x + box.width / 3, box.y + 20);
  await page.mouse.wheel(0, -600);
}

function place(page: Page, name: string): Promise<string | null> {
  return page.evaluate((key) => new URLSearchParams(location.hash.slice(1)).get(key), name);
}

function currentView(page: Page): Promise<string> {
  return page.locator('.views [aria-current="page"]').innerText();
}
