import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { describeInBrowser, unfold, type Workbench } from './harness.ts';

const WAIT = { timeout: 30_000 };
const SCORED = '[data-compared]:has([data-score])';

describeInBrowser('work over all takes', { withDemo: true }, (bench) => {
  let ids: readonly string[];
  let takes: number;
  beforeAll(async () => {
    const answer = await fetch(`${bench.server.address}/api/workspace`);
    ids = ((await answer.json()) as { takes: { id: string }[] }).takes.map(({ id }) => id);
    takes = ids.length;
  }, 120_000);

  test('Compare shows rows while most takes are still to be read, and goes on to all', async () => {
    const { page, gate } = await openGated(bench, 'compare', ids.slice(0, 3));
    await unfold(page, 'Every score');
    await expect.poll(() => page.locator(SCORED).count(), WAIT).toBe(3);
    expect(await page.locator('[data-compare]').getAttribute('data-compare')).toBe('running');
    expect(await page.locator('.compare-progress').innerText()).toContain(`3 of ${takes} takes compared`);
    gate.open();
    await page.locator('[data-compare="done"]').waitFor();
    expect(await page.locator(SCORED).count()).toBe(takes);
  });

  test('a comparison that is stopped compares no more, and goes on where it was', async () => {
    const { page, gate } = await openGated(bench, 'compare', ids.slice(0, 1));
    await unfold(page, 'Every score');
    await page.locator(SCORED).first().waitFor();
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    gate.open();
    // The list of takes comes behind: once its badges are there, a comparison that went on would be done as well.
    await expect.poll(() => badges(page), WAIT).toBe(takes);
    expect(await page.locator('[data-compare]').getAttribute('data-compare')).toBe('stopped');
    expect(await page.locator(SCORED).count()).toBeLessThan(takes);
    await page.getByRole('button', { name: 'Go on' }).click();
    await page.locator('[data-compare="done"]').waitFor();
    expect(await page.locator(SCORED).count()).toBe(takes);
  });

  test('Sweep is there before the open take is read, and sweeps it at once', async () => {
    const { page, gate } = await openGated(bench, 'sweep', []);
    await expect.poll(() => page.locator('.job').innerText(), WAIT).toContain('Reading');
    expect(await page.getByRole('button', { name: 'This take' }).getAttribute('aria-pressed')).toBe('true');
    expect(await page.locator('.side.panels').textContent()).toBe('');
    gate.open();
    await page.locator('[data-job="done"]').waitFor();
    expect(await page.locator('.job').innerText()).toBe('1 take');
  });

  test('Sweep draws a map of the takes swept so far, and goes on to choose and to check', async () => {
    const { page, gate } = await openGated(bench, 'sweep', ids.slice(0, 3));
    await page.getByRole('button', { name: /^All / }).click();
    await expect
      .poll(() => page.locator('.job').innerText(), WAIT)
      .toMatch(new RegExp(`^Swept 3 of ${takes}`));
    expect(await page.locator('.map-card canvas').count()).toBe(1);
    expect(await page.locator('.is-old').count()).toBe(0);
    gate.open();
    await page.locator('[data-job="done"]').waitFor();
    expect(await page.locator('.job').innerText()).toBe(`${takes} takes`);
  });

  test('three threads come to the same as one', async () => {
    const said: string[] = [];
    for (const cores of [2, 4]) {
      const page = await bench.openPage('/#view=sweep', {}, (page) =>
        page.addInitScript((count) => {
          Object.defineProperty(Navigator.prototype, 'hardwareConcurrency', { get: () => count });
        }, cores),
      );
      await page.getByRole('button', { name: /^All / }).click();
      await page.locator('.sweep-grid:not(.is-old) .suggestion .headline').waitFor({ timeout: 60_000 });
      await page.locator('[data-fitness="pending"]').waitFor({ state: 'detached', timeout: 60_000 });
      await page.locator('[data-job="done"]', { hasText: `${takes} takes` }).waitFor({ timeout: 60_000 });
      // One opens takes, one chooses, one checks signals; the rest find pieces.
      expect(page.workers().length).toBeGreaterThanOrEqual(cores === 2 ? 4 : 5);
      said.push(await page.locator('main').innerText());
    }
    expect(said[1]).toBe(said[0]);
    expect(said[0]).toContain('°/s');
  });

  test('a sweep whose view is left gives way to the list of takes, and needs none of the takes read again', async () => {
    const { page, gate } = await openGated(bench, 'sweep', ids.slice(0, 3));
    await page.getByRole('button', { name: /^All / }).click();
    await expect.poll(() => page.locator('.job').innerText(), WAIT).toMatch(/^Swept 3 of/);
    await page.getByRole('button', { name: 'Tune', exact: true }).click();
    gate.open();
    await expect.poll(() => badges(page), WAIT).toBe(takes);
    gate.close();
    await page.getByRole('button', { name: 'Sweep', exact: true }).click();
    await page.locator('[data-job="done"]').waitFor();
    expect(await page.locator('.job').innerText()).toBe(`${takes} takes`);
  });
});

interface Gate {
  open(): void;
  close(): void;
}

/** A page to which only the columns of the takes named come through until the gate is opened. */
async function openGated(
  bench: Workbench,
  view: string,
  through: readonly string[],
): Promise<{ page: Page; gate: Gate }> {
  let release = (): void => {};
  let opened = new Promise<void>((resolve) => (release = resolve));
  const page = await bench.openPage(`/#view=${view}`, {}, (page) =>
    page.route('**/columns', async (route) => {
      const [, id] = /takes\/([^/]+)\/columns/.exec(route.request().url())!;
      if (!through.includes(id!)) await opened;
      // The page may be gone by now, or have no use for it any more.
      await route.continue().catch(() => {});
    }),
  );
  const close = (): void => {
    opened = new Promise((resolve) => (release = resolve));
  };
  return { page, gate: { open: () => release(), close } };
}

function badges(page: Page): Promise<number> {
  return page.locator('.take .badge:not([aria-hidden])').count();
}
