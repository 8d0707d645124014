import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { VIEW_FACTS, VIEWS, type View } from '../../web/state/views.ts';
import { axeFaults } from './axe.ts';
import { drop, smallLog } from './drop.ts';
import { describeInBrowser, openTake, painted, unfold } from './harness.ts';

/** When a view has come to rest. */
const RESTED: Readonly<Partial<Record<View, string>>> = {
  tune: '.stave-speed .over',
  replay: 'canvas[data-light]',
  reversals: '.dip-sketch',
  sweep: '[data-job="done"]',
  signal: '.check-lines',
  bench: '.bench [data-cost]',
  compare: '[data-compare="done"]',
  plan: '[data-plan="whole"]',
};

describeInBrowser('axe finds nothing against', { withDemo: true }, (bench) => {
  let page: Page;
  beforeAll(async () => {
    page = await openTake(bench, 'Wall-plane');
  });
  afterAll(() => page.context().close());

  const goTo = async (view: View): Promise<void> => {
    await page.getByRole('button', { name: VIEW_FACTS[view].name }).first().click();
    await page
      .locator(RESTED[view] ?? 'main h2')
      .first()
      .waitFor({ timeout: 90_000 });
  };
  const unfoldAll = async (): Promise<void> => {
    await page.evaluate(() => {
      for (const one of document.querySelectorAll('details')) one.open = true;
      for (const one of document.querySelectorAll<HTMLElement>('.fold-line[aria-expanded="false"]'))
        one.click();
    });
    await painted(page);
  };
  const dialog = () => page.getByRole('dialog');

  test.each(Object.keys(VIEW_FACTS) as View[])('%s, with all that folds open', async (view) => {
    await goTo(view);
    expect(await axeFaults(page)).toEqual([]);
    await unfoldAll();
    expect(await axeFaults(page)).toEqual([]);
  });

  test('Tune while spans are labelled, and with a press and a swing chosen', async () => {
    await goTo('tune');
    await page.keyboard.press('n');
    expect(await axeFaults(page)).toEqual([]);
    await page.keyboard.press('j');
    await page.keyboard.press('l');
    expect(await axeFaults(page)).toEqual([]);
    await page.keyboard.press('Escape');
  });

  test('the maps of Sweep and the choice of takes', async () => {
    await goTo('sweep');
    for (const map of ['Deflection', 'Twist']) {
      await page.getByRole('group', { name: 'What to sweep' }).getByRole('button', { name: map }).click();
      await page.locator('[data-job="done"]').waitFor({ timeout: 90_000 });
      expect(await axeFaults(page)).toEqual([]);
    }
    await page.getByRole('button', { name: /^Choose/ }).click();
    expect(await axeFaults(page)).toEqual([]);
    await page.keyboard.press('Escape');
  });

  test.each([
    ['Keys and cautions', 'tune', 'Keys and cautions'],
    ['Share', 'tune', 'Share takes…'],
    ['Keep', 'kept', /^Keep A/],
    ['copying a calibration', 'signal', 'Use for other takes…'],
  ] as const)('the dialog %s', async (_name, view, button) => {
    await goTo(view);
    if (view === 'signal') await unfold(page, 'Calibration');
    await page.getByRole('button', { name: button }).first().click();
    await dialog().waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await page.keyboard.press('Escape');
    await dialog().waitFor({ state: 'detached' });
  });

  test('a kept setting, and handing it over', async () => {
    await goTo('kept');
    await page
      .getByRole('button', { name: /^Keep A/ })
      .first()
      .click();
    await dialog().getByRole('button', { name: 'Keep', exact: true }).click();
    await page.locator('[data-standing="current"]').waitFor({ timeout: 90_000 });
    expect(await axeFaults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Hand over…' }).click();
    await dialog().waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await page.keyboard.press('Escape');
    await goTo('compare');
    expect(await axeFaults(page)).toEqual([]);
  });

  test('adding a recording, all that was read of it open, and one that is refused', async () => {
    await drop(page, [['small.csv', smallLog()]]);
    await dialog().locator('.mapping').waitFor();
    await unfoldAll();
    expect(await axeFaults(page)).toEqual([]);
    await page.keyboard.press('Escape');
    await dialog().waitFor({ state: 'detached' });
    await drop(page, [['broken.csv', 'time,x\n1,2\n']]);
    await dialog().getByRole('alert').first().waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await page.keyboard.press('Escape');
  });

  test('a narrow window with a side pulled out', async () => {
    await goTo('tune');
    await page.setViewportSize({ width: 720, height: 900 });
    expect(await axeFaults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Show or hide the takes' }).click();
    expect(await axeFaults(page)).toEqual([]);
    await page.getByRole('button', { name: 'Show or hide the settings' }).click();
    expect(await axeFaults(page)).toEqual([]);
    await page.setViewportSize({ width: 1440, height: 900 });
  });

  test('by keys alone: a stop to skip by, a list in one stop, views by their numbers, a span with its ends', async () => {
    await page.keyboard.press('Escape');
    await goTo('tune');
    const focused = () =>
      page.evaluate(() => document.activeElement?.textContent?.trim() || document.activeElement?.id || '');
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
    await page.reload();
    await page.locator('.stave-speed .over').waitFor();
    await page.keyboard.press('Tab');
    expect(await focused()).toBe('Skip to the view');
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('main');

    const list = page.locator('.take[tabindex="0"]');
    expect(await list.count()).toBe(1);
    await list.focus();
    await page.keyboard.press('ArrowDown');
    expect(await focused()).toContain('Slow figure-eight');
    await page.keyboard.press('Home');
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.classList.contains('take'))).toBe(false);

    for (const [place, view] of VIEWS.slice(0, 9).entries()) {
      await page.keyboard.press(String(place + 1));
      await expect.poll(() => page.url()).toContain(`view=${view}`);
    }
    await page.keyboard.press('1');
    await page.locator('.stave-speed .over').waitFor();
    await page.keyboard.press('0');
    await page.keyboard.press('l');
    await page.getByRole('button', { name: 'Label the middle' }).press('Enter');
    const ends = page.locator('.label-ends input');
    await expect.poll(() => ends.count()).toBe(2);
    await ends.first().fill('0:10.5');
    await ends.first().press('Enter');
    await expect.poll(() => ends.first().inputValue()).toBe('0:10.500');
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
  });

  test('nothing went wrong in the page', () => expect(bench.errors).toEqual([]));
});

describeInBrowser('axe finds nothing against an empty workspace', { withDemo: false }, (bench) => {
  test('in the views that stand without a take', async () => {
    const page = await bench.openPage('/#view=tune');
    await page.getByText('Nothing recorded yet.').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    for (const view of ['Compare', 'Plan', 'Kept settings', 'Live']) {
      await page.getByRole('button', { name: view, exact: true }).first().click();
      expect(await axeFaults(page)).toEqual([]);
    }
    expect(bench.errors).toEqual([]);
  });
});
