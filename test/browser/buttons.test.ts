import type { Page } from 'playwright-core';
import { beforeEach, expect, test } from 'vitest';
import { describeInBrowser, openTake, putCandidates } from './harness.ts';

describeInBrowser('what the buttons do', { withDemo: true }, (bench) => {
  beforeEach(() => putCandidates(bench));

  const brief = (page: Page) => page.locator('.deflection-scores summary .unit').textContent();

  test('deflections wait for the button that is named in the take, and are not known where the log has none', async () => {
    const page = await openTake(bench, 'Parry drill');
    await page.locator('details.settings summary', { hasText: 'What the buttons do' }).click();
    expect(await brief(page)).toMatch(/^\d+ \/ 31 swings/);
    expect(await page.getByLabel('Deflection button in this take').count()).toBe(0);

    await page.getByLabel('Deflections are on').selectOption('held');
    const button = page.getByLabel('Deflection button in this take');
    // The log's other button, which has a column and is never pressed.
    expect(await button.inputValue()).toBe('effect_button');
    await expect.poll(() => brief(page)).toBe('no swing with the button held');

    await button.selectOption('power_button');
    await expect.poll(() => brief(page)).toMatch(/^\d \/ 6 swings/);
    await page.locator('.deflection-scores summary').click();
    expect(await page.locator('.deflection-scores').innerText()).toContain('25');

    await button.selectOption({ label: 'not in this log' });
    await expect.poll(() => brief(page)).toBe('not known');
    await page.locator('[data-deflection-unknown]').waitFor();
    await page.locator('[data-lane="deflection-unknown"]').waitFor();

    // It is kept with the take, and that deflections wait with the candidate, once that has rested.
    await page.locator('[data-save="saved"]').waitFor();
    await page.reload();
    await expect.poll(() => brief(page)).toBe('not known');
    expect(bench.errors).toEqual([]);
  });
});
