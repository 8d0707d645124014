import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { describeInBrowser } from './harness.ts';

describeInBrowser('the first run, by keyboard alone', { withDemo: false }, (bench) => {
  /** Goes on with Tab until the control with this name has the focus. */
  async function tabTo(page: Page, name: string): Promise<void> {
    for (let i = 0; i < 60; ++i) {
      await page.keyboard.press('Tab');
      const focused = await page.evaluate(() => {
        const element = document.activeElement;
        return element?.getAttribute('aria-label') ?? element?.textContent?.trim() ?? '';
      });
      if (focused === name) return;
    }
    throw new Error(`no Tab leads to ${name}`);
  }

  test('says what to do in three steps, each with its button, and leads from nothing to a judged press', async () => {
    const page = await bench.openPage();
    await page.getByText('Nothing recorded yet.').waitFor();
    for (const name of ['Record from the prop', 'Choose files', 'See the demo'])
      expect(await page.getByRole('button', { name, exact: true }).count(), name).toBe(1);

    await tabTo(page, 'Record from the prop');
    await page.keyboard.press('Enter');
    await page.getByText('Nothing is being recorded').waitFor();
    await page.keyboard.press('1');

    await page.getByText('Nothing recorded yet.').waitFor();
    await tabTo(page, 'See the demo');
    await page.keyboard.press('Enter');
    await page.locator('.stave-speed .over').waitFor({ timeout: 60_000 });
    // The first take is open: N goes to a press, and what became of it is told.
    await page.keyboard.press('n');
    await expect.poll(() => page.locator('.press-text').innerText()).toMatch(/accepted|let through|refused/);
    await expect.poll(() => page.locator('.take').count(), { timeout: 60_000 }).toBe(8);
    expect(bench.errors).toEqual([]);
  }, 120_000);
});
