import type { Page } from 'playwright-core';
import { beforeEach, expect, test } from 'vitest';
import { describeInBrowser, openTake, painted, putCandidates, score } from './harness.ts';

describeInBrowser('gestures on the staves', { withDemo: true }, (bench) => {
  beforeEach(() => putCandidates(bench));

  test('dragging thrust, hit level and the speed that a thrust allows moves marks and scores of that candidate alone', async () => {
    const page = await openTake(bench, 'Thrust line');
    await page.locator('.gesture-scores summary').click();
    const marks = (slot: string, kind: string) => page.locator(`[data-gesture="${slot}.${kind}"]`).count();
    const of = async (slot: 'a' | 'b') => ({
      stabs: await marks(slot, 'stab'),
      hits: await marks(slot, 'impact'),
      thrust: await score(page, 'stab', slot),
      hit: await score(page, 'impact', slot),
    });
    const before = await of('a');
    expect(before).toMatchObject({ thrust: '12 / 12', hit: '12 / 12' });
    expect(before.stabs).toBeGreaterThan(5);
    expect(await of('b')).toEqual(before);

    await drag(page, 'a.stab.thrustG', '.stave-thrust', 1.5);
    const harder = await of('a');
    expect(harder.stabs).toBeLessThan(before.stabs);
    expect(harder.thrust).not.toBe(before.thrust);
    expect([harder.hits, harder.hit]).toEqual([before.hits, before.hit]);
    expect(await of('b')).toEqual(before);
    await page.keyboard.press('Control+z');
    expect(await of('a')).toEqual(before);

    await drag(page, 'a.impact.impactG', '.stave-impact', 1.6);
    const louder = await of('a');
    expect(louder.hits).toBeLessThan(before.hits);
    expect(louder.hit).not.toBe(before.hit);
    expect(await of('b')).toEqual(before);
    await page.keyboard.press('Control+z');

    expect(await page.locator('[data-threshold="a.stab.quietDps"]').count()).toBe(0);
    await page.locator('details.settings summary', { hasText: 'Stab' }).click();
    const quiet = page.locator('[data-threshold="a.stab.quietDps"]');
    expect(await quiet.getAttribute('aria-valuenow')).toBe('200');
    expect(await page.locator('[data-threshold="a.stab.untilHitDps"]').getAttribute('aria-valuenow')).toBe(
      '300',
    );
    const stabSettings = page.locator('details.settings', { has: page.locator('h2', { hasText: 'Stab' }) });
    expect(await stabSettings.innerText()).toContain('0.64 g');
    // the last of the group: part of a hit
    await stabSettings.locator('input[inputmode=decimal]').last().fill('1');
    await expect.poll(() => stabSettings.innerText()).toContain('3.2 g');
    await page.keyboard.press('Control+z');
    await expect.poll(() => stabSettings.innerText()).toContain('0.64 g');
    await drag(page, 'a.stab.quietDps', '.stave-speed', 0.02);
    await expect.poll(async () => Number(await quiet.getAttribute('aria-valuenow'))).toBeLessThan(30);
    expect((await of('a')).stabs).toBeLessThan(before.stabs);
    expect(await of('b')).toEqual(before);
  });

  test('the twist angle can be dragged, the dial’s steps are drawn and counted, and a low rate is cautioned of', async () => {
    const page = await openTake(bench, 'Twist dial');
    const twists = () => page.locator('[data-gesture="a.twist"]').count();
    const before = await twists();
    expect(before).toBeGreaterThan(3);
    await drag(page, 'a.twist.angleDeg', '.stave-twist', 1.8);
    expect(await twists()).toBeLessThan(before);
    await page.keyboard.press('Control+z');

    const steps = async () => {
      const words = await page
        .locator('.stave-twist')
        .getByText(/^dial: /)
        .innerText();
      return /^dial: (\d+) up, (\d+) down$/.exec(words)!.slice(1).map(Number) as [number, number];
    };
    const [up, down] = await steps();
    const strokes = async (way: string) =>
      (await page.locator(`[data-dial="${way}"]`).getAttribute('d'))!.split('M').length - 1;
    expect(await strokes('up')).toBeGreaterThan(up / 2);
    expect(await strokes('up')).toBeLessThanOrEqual(up);
    expect(await strokes('down')).toBeLessThanOrEqual(down);
    await page.locator('.gesture-scores summary').click();
    const astray = Number(await score(page, 'dial', 'a'));
    expect(astray).toBeGreaterThan(0);
    expect(await page.locator('[data-score="dial"] .note').innerText()).toContain(`of ${up + down}`);
    await page.locator('details.settings summary', { hasText: 'Twist' }).click();
    await page.getByLabel('Dial step', { exact: true }).fill('30');
    await expect.poll(async () => (await steps())[0]).toBeLessThan(up);
    expect(Number(await score(page, 'dial', 'a'))).toBeLessThan(astray);
    expect(Number(await score(page, 'dial', 'b'))).toBe(astray);

    expect(await page.locator(':is(.stave-impact, .folded-staves) .caution').innerText()).toBe(
      '100 Hz: a hit can fall between two samples',
    );
  });

  test('a peak beyond the sensor’s range has a cap, and its swings are counted', async () => {
    const page = await openTake(bench, 'Fast figure-eight');
    const said = await page.locator('.stave-speed .caution').innerText();
    expect(said).toMatch(/^\d+ peaks are clipped$/);
    expect(await page.locator('.clipped-peaks path').count()).toBe(Number.parseInt(said, 10));
    await page.locator('.deflection-scores summary').click();
    expect(await page.locator('[data-score="missed"] .note').innerText()).toContain(
      'of the peaks are clipped',
    );
  });

  test('the two twist angles are explained where they are drawn; Escape closes it', async () => {
    const page = await openTake(bench, 'Parry drill');
    await page.getByRole('button', { name: 'why two' }).click();
    expect(await page.locator('.explanation').innerText()).toContain('beyond a swing of 140°');
    await page.keyboard.press('Escape');
    expect(await page.locator('.explanation').count()).toBe(0);
  });

  test('nothing went wrong in any of these pages', () => expect(bench.errors).toEqual([]));
});

/** Drags a line to about `factor` times its value, or to the end of its stave. */
async function drag(page: Page, threshold: string, stave: string, factor: number): Promise<void> {
  const line = page.locator(`[data-threshold="${threshold}"]`);
  const value = Number(await line.getAttribute('aria-valuenow'));
  const box = (await line.boundingBox())!;
  const over = (await page.locator(`${stave} .over`).boundingBox())!;
  const x = box.x + 200;
  const y = box.y + box.height / 2;
  // A small move first tells how much a pixel is.
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x, y - 6);
  await expect.poll(async () => Number(await line.getAttribute('aria-valuenow'))).not.toBe(value);
  const perPx = (Number(await line.getAttribute('aria-valuenow')) - value) / 6;
  const to = y - (value * (factor - 1)) / perPx;
  await page.mouse.move(x, Math.max(over.y + 1, Math.min(over.y + over.height - 1, to)), { steps: 4 });
  await page.mouse.up();
  await painted(page);
}
