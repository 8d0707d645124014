import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { beforeEach, expect, test } from 'vitest';
import type { TakeDocument } from '../../server/http/schemas.ts';
import {
  describeInBrowser,
  openTake,
  painted,
  putCandidates,
  score,
  showSettings,
  takeNamed,
} from './harness.ts';

const SPEED = '.settings .number input >> nth=0';

describeInBrowser('steps back', { withDemo: true }, (bench) => {
  let page: Page;
  beforeEach(async () => {
    await putCandidates(bench);
    page = await openTake(bench, 'Wall-plane');
  });

  test('a change taken back behind a newly opened take leaves that take’s labels, here and in its file', async () => {
    const before = onDisk(await takeNamed(bench, 'Slow figure-eight')).labels;
    expect(before.presses.length).toBeGreaterThan(10);
    await page.locator(SPEED).fill('250');
    await choose('Slow figure-eight');
    const counts = await score(page, 'wanted');
    await page.keyboard.press('Control+z');
    await expect.poll(() => page.locator(SPEED).inputValue()).toBe('240');
    await page.locator('[data-save="saved"]').waitFor();
    expect(await score(page, 'wanted')).toBe(counts);

    await page.keyboard.press('n');
    await page.keyboard.press('u');
    await page.locator('[data-save="saving"]').waitFor();
    await page.locator('[data-save="saved"]').waitFor();
    const after = onDisk(await takeNamed(bench, 'Slow figure-eight')).labels;
    expect(after.presses).toEqual(expect.arrayContaining([...before.presses]));
    expect(after.presses.length).toBe(before.presses.length + 1);
    expect(after.spans).toEqual(before.spans);
    await page.keyboard.press('Control+z');
    await page.locator('[data-save="saved"]').waitFor();
  });

  test('the way back that a notice offers goes once something else was done', async () => {
    await page.getByRole('button', { name: 'Reversals', exact: true }).click();
    await showSettings(page);
    await page.getByRole('button', { name: /hold \d+ ms, refuses/ }).click();
    const undo = page.locator('.notice').getByRole('button', { name: 'Undo' });
    await undo.waitFor();
    await page.locator(SPEED).fill('444');
    await painted(page);
    // Sooner than a notice leaves by itself.
    expect(await undo.count()).toBe(0);
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
  });

  test('a mount that is set is a step too, of its own take whichever is open, and done again', async () => {
    const tips = async () =>
      Promise.all(
        ['Wall-plane reversals', 'Parry drill'].map(
          async (title) => (await takeNamed(bench, title)).calibration.mount.tip,
        ),
      );
    const before = await tips();
    await page.locator(SPEED).fill('250');
    await painted(page);
    await page.locator('.take-panel summary').first().click();
    await page.locator('.take-panel').getByLabel('Sensor axis toward the tip').selectOption('-y');
    await expect.poll(tips).toEqual(['-y', before[1]]);
    await choose('Parry drill');
    await page.getByRole('button', { name: 'Undo', exact: true }).first().click();
    await expect.poll(tips).toEqual(before);
    // The step before it stands.
    expect(await page.locator(SPEED).inputValue()).toBe('250');
    await page.keyboard.press('Control+Shift+z');
    await expect.poll(tips).toEqual(['-y', before[1]]);
    await page.keyboard.press('Control+z');
    await expect.poll(tips).toEqual(before);
    await page.keyboard.press('Control+z');
    await expect.poll(() => page.locator(SPEED).inputValue()).toBe('240');
  });

  test('a take that is removed takes its steps along, and brought back it is whole', async () => {
    const { id, title, labels } = await takeNamed(bench, 'Parry drill');
    await choose('Parry drill');
    await page.keyboard.press('n');
    await page.keyboard.press('u');
    await page.locator('[data-save="saved"]').waitFor();
    await page.locator('details', { hasText: 'Remove take' }).locator('summary').click();
    await page.getByRole('button', { name: 'Remove take' }).click();
    const back = page.locator('.notice').getByRole('button', { name: 'Restore' });
    await back.waitFor();
    await page.keyboard.press('Control+z');
    await page.locator('.stave-speed').waitFor();
    expect(await page.locator('.take[aria-current="true"]').innerText()).not.toContain(title);
    await back.click();
    await expect.poll(() => page.locator('.take[aria-current="true"]').innerText()).toContain(title);
    await page.locator('.stave-speed').waitFor();
    const restored = onDisk(await takeNamed(bench, 'Parry drill'));
    expect(restored.id).toBe(id);
    expect(restored.labels.presses.length).toBe(labels.presses.length + 1);
    expect(bench.errors).toEqual([]);
  });

  async function choose(title: string): Promise<void> {
    await page.locator('.take', { hasText: title }).click();
    await page.waitForFunction((name) => document.title.startsWith(name), title);
    await page.locator('.stave-speed').waitFor();
  }

  function onDisk({ id }: TakeDocument): TakeDocument {
    return JSON.parse(readFileSync(join(bench.workspace, 'takes', id, 'take.json'), 'utf8'));
  }
});
