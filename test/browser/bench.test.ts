import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { noisePassed } from '../../server/engine/check/smoothingNoise.ts';
import { type SmoothingSettings, smoothingDelayMs } from '../../server/engine/filter/smoothing.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { describeInBrowser, openTake, unfold } from './harness.ts';

/** Of the wall-plane take. */
const RATE_HZ = 200;

describeInBrowser('the Filter bench on a demo take', { withDemo: true }, (bench) => {
  let page: Page;
  beforeAll(async () => {
    page = await openTake(bench, 'Wall-plane');
    await page.getByRole('button', { name: 'Filter bench' }).click();
    await page.locator('.bench').waitFor();
    await unfold(page, 'All figures');
    await unfold(page, 'Graphs');
  });

  test('delay and noise of the default are the engine’s, and its cost is measured on every swing', async () => {
    await expectKnown(page, 'a', DEFAULT_CANDIDATE.smoothing);
    const rise = await figure(page, 'a', 'rise median');
    // The swings hold little above 5 Hz, where this filter is late by 9.0 to 9.3 ms.
    expect(Number(rise)).toBeGreaterThan(8);
    expect(Number(rise)).toBeLessThan(11);
    expect(await page.locator('.cost > header .unit').innerText()).toMatch(/^[1-9]\d* swings$/);
    // Both candidates have the default here, and that is said once: the raw spectrum and one line.
    const spectrum = page.locator('figure', { hasText: 'Spectrum of this take' });
    expect(await spectrum.locator('g .curve').count()).toBe(2);
    expect(await page.locator('.cost tbody th').allInnerTexts()).toEqual(['A and B', 'A and B']);
    // What it costs stands on top in words; of the noise's power its size is the root.
    expect(await page.locator('[data-cost^="late"]').allInnerTexts()).toEqual([`A and B ${rise} ms`]);
    const { powerPart } = noisePassed(DEFAULT_CANDIDATE.smoothing, RATE_HZ);
    expect(await page.locator('[data-cost^="calm"]').innerText()).toBe(
      `A and B ${(100 * Math.sqrt(powerPart)).toFixed(1)} %`,
    );
  });

  test('a curve is read at the pointer and by arrow keys: what stands there is the engine’s', async () => {
    const reader = page.getByRole('slider', { name: /^Read: Delay/ });
    const said = () => reader.getAttribute('aria-valuetext');
    await reader.press('ArrowRight');
    const first = await said();
    await reader.press('Shift+ArrowRight');
    const [, hz, ms] = /^([\d.]+) Hz: A and B ([\d.]+) ms$/.exec((await said())!)!;
    expect(Number(hz)).toBeGreaterThan(Number.parseFloat(first!));
    expect(Number(ms)).toBeCloseTo(smoothingDelayMs(DEFAULT_CANDIDATE.smoothing, RATE_HZ, Number(hz))!, 1);
    await reader.hover();
    expect(await page.locator('.read-text').innerHTML()).toBe(await said());
    await reader.press('Escape');
    expect(await page.locator('.read-text').count()).toBe(0);
  });

  test('a moving average: its nulls, its one delay, a part of the noise and of a wrong sample', async () => {
    const before = await curve(page, 'Response', 'is-a');
    await choose(page, 'A', 'movingAverage', 40);
    const smoothing: SmoothingSettings = {
      ...DEFAULT_CANDIDATE.smoothing,
      kind: 'movingAverage',
      lengthMs: 40,
    };
    await expectKnown(page, 'a', smoothing);
    expect(await curve(page, 'Response', 'is-a')).not.toBe(before);
    // 8 samples: (8 - 1) / 2 of them late at every frequency, an eighth of the noise, an eighth of one wrong sample.
    expect(await figure(page, 'a', 'delay 5')).toBe('17.5');
    expect(await figure(page, 'a', 'noise left')).toBe('12.5');
    await expect.poll(() => figure(page, 'a', 'wrong median')).toBe('12.5');
    expect(Number(await figure(page, 'a', 'peak median'))).toBeGreaterThan(0);
  });

  test('a median: no response and no delay are drawn, and the page says why and what it does here', async () => {
    await choose(page, 'B', 'median', 25);
    const response = page.locator('figure', { hasText: 'Response' });
    expect(await response.locator('.plot-says').innerText()).toContain(
      'B is a median: it has no frequency response.',
    );
    expect(await curve(page, 'Response', 'is-b')).toBe('');
    expect(await curve(page, 'Delay', 'is-b')).toBe('');
    expect(await figure(page, 'b', 'delay')).toBe('at no frequency; a steady rise: 10.0');
    expect(await figure(page, 'b', 'noise width')).toBe('–');
    await expect.poll(async () => Number(await figure(page, 'b', 'wrong median'))).toBeLessThan(1);
    const rise = Number(await figure(page, 'b', 'rise median'));
    expect(Math.abs(rise - 10)).toBeLessThan(1);
  });

  test('no smoothing costs nothing and leaves everything', async () => {
    await choose(page, 'A', 'none');
    await expect.poll(() => figure(page, 'a', 'wrong median')).toBe('100.0');
    for (const name of ['peak worst', 'rise worst', 'delay 1'])
      expect(await figure(page, 'a', name), name).toBe('0.0');
    expect(await figure(page, 'a', 'noise left')).toBe('100.0');
    expect(await figure(page, 'a', 'noise width')).toBe('100.0');
  });

  test('what this log cannot show is said, not drawn', async () => {
    await choose(page, 'A', 'butterworth', 95);
    const caution = page.locator('.bench .caution-line');
    expect(await caution.innerText()).toMatch(
      /^A: a cutoff of 95 Hz is too near to half this log’s rate of 200 Hz/,
    );
    await choose(page, 'A', 'median', 5);
    expect(await caution.innerText()).toBe(
      'A: 5 ms hold one sample of this log of 200 Hz, so nothing is smoothed here.',
    );
    await choose(page, 'A', 'median', 6);
    expect(await caution.count()).toBe(0);
  });

  test('undo takes the smoothing back here too, and nothing went wrong', async () => {
    const length = page.locator('.bench .settings .number input');
    expect(await length.inputValue()).toBe('6');
    await page.keyboard.press('Control+z');
    // What was typed in one go is taken back in one go.
    await expect.poll(() => length.inputValue()).toBe('40');
    await page.keyboard.press('Control+Shift+z');
    await expect.poll(() => length.inputValue()).toBe('6');
    expect(bench.errors).toEqual([]);
  });
});

/** Sets a candidate's smoothing by the bench's own controls. */
async function choose(page: Page, slot: 'A' | 'B', kind: SmoothingSettings['kind'], number?: number) {
  const card = page.locator('.bench .settings');
  await card.getByRole('button', { name: slot, exact: true }).click();
  await card.locator('select').first().selectOption(kind);
  if (number === undefined) return;
  const field = card.locator('.number input');
  await field.fill(String(number));
  await field.blur();
}

async function expectKnown(page: Page, slot: string, smoothing: SmoothingSettings): Promise<void> {
  const { powerPart, bandwidthHz } = noisePassed(smoothing, RATE_HZ);
  await expect.poll(() => figure(page, slot, 'noise left')).toBe((100 * powerPart).toFixed(1));
  expect(await figure(page, slot, 'noise width')).toBe(bandwidthHz!.toFixed(1));
  for (const hz of [0.5, 1, 2, 5])
    expect(await figure(page, slot, `delay ${hz}`)).toBe(
      smoothingDelayMs(smoothing, RATE_HZ, hz)!.toFixed(1),
    );
  await expect.poll(() => figure(page, slot, 'rise median')).not.toBe('–');
}

function figure(page: Page, slot: string, name: string): Promise<string> {
  return page.locator(`.cost [data-slot="${slot}"] [data-figure="${name}"]`).innerText();
}

async function curve(page: Page, title: string, line: string): Promise<string | null> {
  return page.locator('figure', { hasText: title }).first().locator(`g .curve.${line}`).getAttribute('d');
}
