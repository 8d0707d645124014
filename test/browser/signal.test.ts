import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { describeInBrowser, openTake, showWhole, takeNamed, unfold } from './harness.ts';

/** The wall-plane take's fastest swing and its length. */
const FASTEST_PART = 31.71 / 51.6;

describeInBrowser('the Signal check and its calibration card on a demo take', { withDemo: true }, (bench) => {
  let page: Page;
  beforeAll(async () => {
    page = await openTake(bench, 'Wall-plane');
  });

  test('shows a verdict, a line a question, and which axes gravity proves', async () => {
    await openSignal(page);
    expect(await page.locator('.verdict h2').innerText()).toBe('Signals fit');
    expect(await page.locator('.to-do').innerText()).toBe('Nothing to do: tune on it.');
    await unfold(page, 'What was found');
    expect(await page.locator('[data-check]').count()).toBe(16);
    const gravity = page.locator('[data-check="gravity"]');
    // Its y turned mostly while upright; with the arm's own pull taken off, gravity tells of it all the same.
    expect(await gravity.locator('.finding').innerText()).toMatch(/unit and sign of x, y and z are proven/);
  });

  test('the bias has an interval on each axis', async () => {
    expect(await row(page, 'Gyro bias').innerText()).toMatch(/(−?[\d.]+ ± [\d.]+(, | )){3}°\/s on x, y, z/);
  });

  test('an arm that is overridden by 0 leaves the swings’ pull in the thrust; accepting what was found takes it off', async () => {
    await setArm(page, '0');
    const accept = row(page, 'Lever arm').getByRole('button', { name: /^Use 0\.1[56]\d m$/ });
    await accept.waitFor();
    const pulled = await thrustAtFastest(page);
    expect(await thrustUnit(page)).toBe('g · gravity removed');

    await openSignal(page);
    await accept.click();
    await row(page, 'Lever arm').getByRole('button', { name: 'as found' }).waitFor();
    const clean = await thrustAtFastest(page);
    expect(await thrustUnit(page)).toMatch(/pull at 0\.1[56]\d? m removed/);
    expect(clean - pulled).toBeGreaterThan(1);
    expect(Math.abs(clean)).toBeLessThan(0.5);
  });

  test('it is kept over a reload', async () => {
    const before = await thrustAtFastest(page);
    await page.locator('[data-save="saved"]').waitFor();
    await page.reload();
    const after = await thrustAtFastest(page);
    expect(await thrustUnit(page)).toMatch(/pull at 0\.1[56]\d? m removed/);
    expect(Math.abs(after - before)).toBeLessThan(0.05);
  });

  test('another take of the same prop can share it, and that can be undone', async () => {
    await openSignal(page);
    await setArm(page, '0.2');
    const other = await takeNamed(bench, 'Slow figure-eight');
    expect(other.calibration.leverArmM).not.toBe(0.2);
    await page.getByRole('button', { name: 'Use for other takes…' }).click();
    await page.locator('.copy-takes label', { hasText: 'Slow figure-eight' }).click();
    await page.getByRole('button', { name: 'Use for 1 take' }).click();
    await page.locator('.notice', { hasText: 'Used for 1 take.' }).waitFor();
    expect((await takeNamed(bench, 'Slow figure-eight')).calibration.leverArmM).toBe(0.2);

    await page
      .locator('.notice', { hasText: 'Used for 1 take.' })
      .getByRole('button', { name: 'Undo' })
      .click();
    await expect
      .poll(async () => (await takeNamed(bench, 'Slow figure-eight')).calibration.leverArmM)
      .toBe(other.calibration.leverArmM);
  });

  test('the accelerometer’s scale can be taken as found, and set by hand', async () => {
    const scale = row(page, 'Accelerometer scale');
    await scale.getByRole('button', { name: /^Use [01]\.\d{4}$/ }).click();
    await scale.getByRole('button', { name: 'as found' }).waitFor();
    await expect.poll(() => scale.getByLabel('Accelerometer scale').inputValue()).toMatch(/^1\.00\d+$/);
    await scale.getByLabel('Accelerometer scale').fill('9');
    await scale.getByLabel('Accelerometer scale').press('Enter');
    await page.locator('.notice', { hasText: 'between 0.5 and 2' }).waitFor();
    expect(await scale.getByLabel('Accelerometer scale').inputValue()).toMatch(/^1\.00\d+$/);
  });

  test('nothing went wrong in any of these pages', () => {
    expect(bench.errors).toEqual([]);
  });
});

function row(page: Page, name: string) {
  return page.locator('.calibration .found', { has: page.getByRole('heading', { name }) });
}

async function openSignal(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Signal check' }).click();
  await page.locator('.verdict').waitFor();
  await unfold(page, 'Calibration');
}

async function setArm(page: Page, text: string): Promise<void> {
  const field = page.getByLabel('Lever arm in metres');
  await field.fill(text);
  await field.press('Enter');
  await page.locator('.notice', { hasText: `Lever arm set to ${text} m.` }).waitFor();
}

/** Opens Tune and reads the thrust under the crosshair at the take's fastest swing. */
async function thrustAtFastest(page: Page): Promise<number> {
  await page.getByRole('button', { name: 'Tune' }).click();
  await showWhole(page);
  const folded = page.locator('[data-stave="thrust"]');
  await folded.or(page.locator('.stave-thrust')).first().waitFor();
  if (await folded.isVisible()) await folded.click();
  await page.locator('.stave-thrust').waitFor();
  const over = (await page.locator('.stave-thrust .over').boundingBox())!;
  await page.mouse.move(over.x + 5, over.y + 20);
  await page.mouse.move(over.x + FASTEST_PART * over.width, over.y + 20, { steps: 3 });
  const readOut = page.locator('.stave-thrust .readout');
  await expect.poll(() => readOut.innerText()).toMatch(/ g$/);
  return Number((await readOut.innerText()).replace('−', '-').replace(' g', ''));
}

function thrustUnit(page: Page): Promise<string> {
  return page.locator('.stave-thrust header .unit').innerText();
}
