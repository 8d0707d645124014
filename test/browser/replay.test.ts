import type { Page } from 'playwright-core';
import { beforeEach, expect, test } from 'vitest';
import { describeInBrowser, openTake, putCandidates, type Workbench } from './harness.ts';

describeInBrowser('the replay', { withDemo: true }, (bench) => {
  beforeEach(() => putCandidates(bench));

  test('opens at the first wrong moment, says what the marks say, and jumps to the next', async () => {
    const page = await openReplay(bench);
    // The first stray press of the demonstration that A lets through and B's hold refuses.
    expect(await clockS(page)).toBeCloseTo(7.295, 2);
    expect(await page.locator('[data-now="a"]').innerText()).toMatch(
      /^A wrongly dark · guard open · \d+ °\/s · push \S+ g · stray press let through$/,
    );
    expect(await page.locator('[data-now="b"]').innerText()).toMatch(/^B lit · guard closed/);
    expect(await page.locator('[data-events="a"]').innerText()).toContain('Stray press let through');
    expect(await page.locator('[data-events="b"]').innerText()).toContain('Stray press refused');
    await expect.poll(() => light(page)).toBe('wronglyDark lit');
    await page.getByRole('button', { name: 'wrong ▸' }).click();
    await expect.poll(() => clockS(page)).toBeGreaterThan(14);
    await page.locator('.blade-stage canvas').press('[');
    await expect.poll(() => clockS(page)).toBeCloseTo(7.295, 2);
    await page.locator('.story-slider').press('ArrowRight');
    const moved = await clockS(page);
    await expect.poll(() => page.evaluate(() => location.hash)).toContain(`at=${moved}`);
    await page.reload();
    await page.locator('canvas[data-light]').waitFor();
    expect(await clockS(page)).toBe(moved);
  });

  test('plays and pauses with Space, steps by sample, and another speed', async () => {
    const page = await openReplay(bench);
    const canvas = page.locator('.blade-stage canvas');
    await page.locator('.transport select').selectOption('0.1');
    await canvas.press('Space');
    await expect.poll(() => clockS(page)).toBeGreaterThan(7.32);
    await canvas.press('Space');
    const paused = await clockS(page);
    await canvas.press('.');
    await canvas.press('.');
    await canvas.press(',');
    // 200 Hz.
    expect((await clockS(page)) - paused).toBeGreaterThan(0);
    expect((await clockS(page)) - paused).toBeLessThan(0.0101);
    await page.getByRole('button', { name: 'Play', exact: true }).press('Space');
    await page.getByRole('button', { name: 'Pause' }).press('Space');
    await page.getByRole('button', { name: 'Play', exact: true }).waitFor();
  });

  test('arrow keys and a drag turn the view, and Reset view turns it back', async () => {
    const page = await openReplay(bench);
    const canvas = page.locator('.blade-stage canvas');
    await expect.poll(() => light(page)).toBe('wronglyDark lit');
    const picture = () => canvas.evaluate((one: HTMLCanvasElement) => one.toDataURL());
    const first = await picture();
    await canvas.press('ArrowLeft');
    const turned = await picture();
    expect(turned).not.toBe(first);
    const box = (await canvas.boundingBox())!;
    await page.mouse.move(box.x + 200, box.y + 200);
    await page.mouse.down();
    await page.mouse.move(box.x + 260, box.y + 240, { steps: 4 });
    await page.mouse.up();
    expect(await picture()).not.toBe(turned);
    await page.getByRole('button', { name: 'Reset view' }).click();
    await expect.poll(picture).toBe(first);
  });

  test('the story says how long the blade was wrongly dark; a moment of it is shown by a click, and a hold changes it', async () => {
    const page = await openReplay(bench);
    const sentences = page.locator('[data-sentences="a"]');
    const says = (await sentences.innerText()).replaceAll('\n', ' ');
    expect(says).toMatch(/Wrongly dark 5 times, for [\d.]+ s in all\./);
    await sentences.locator('button').nth(1).click();
    await expect.poll(() => clockS(page)).toBeGreaterThan(14);
    await page.getByRole('button', { name: 'Scores and settings' }).click();
    const hold = page.locator('.settings .number input').nth(1);
    await hold.fill('240');
    await hold.press('Enter');
    await sentences.getByText('Never wrongly dark.').waitFor();
    await expect.poll(() => light(page)).toMatch(/^lit/);
  });

  test('one playhead stands on the staves too; the card there plays on its own keys and leaves the page its own', async () => {
    const page = await openTake(bench, 'Wall-plane');
    expect(await page.locator('[data-playhead]').count()).toBe(0);
    await page.keyboard.press('Space');
    await page.locator('.replay-fold summary').click();
    await page.locator('canvas[data-light]').waitFor();
    const line = () => page.locator('[data-playhead]').evaluate((one) => one.getBoundingClientRect().left);
    const before = await line();
    await page.locator('.replay-fold canvas').press('Space');
    await expect.poll(line).toBeGreaterThan(before + 5);
    await page.locator('.replay-fold canvas').press('Space');
    const seconds = await clockS(page);
    await page.locator('.replay-fold canvas').press('n');
    await expect.poll(() => page.evaluate(() => location.hash)).toContain('press=1');
    expect(await clockS(page)).toBe(seconds);
    await page.getByRole('button', { name: 'In large, with the story' }).click();
    await page.locator('.replay canvas[data-light]').waitFor();
    expect(await clockS(page)).toBe(seconds);
  });

  test('no second holds three changes of light, however the playhead is dragged to and fro', async () => {
    const page = await openReplay(bench);
    await page.locator('canvas[data-light]').evaluate((canvas: HTMLCanvasElement) => {
      const changes: number[] = [];
      Object.assign(window, { changes });
      new MutationObserver(() => changes.push(performance.now())).observe(canvas, {
        attributeFilter: ['data-light'],
      });
    });
    const box = (await page.locator('.story-slider').boundingBox())!;
    await page.mouse.move(box.x + 0.1 * box.width, box.y + 10);
    await page.mouse.down();
    for (let k = 0; k < 60; ++k) await page.mouse.move(box.x + (k % 2 ? 0.1 : 0.2) * box.width, box.y + 10);
    await page.mouse.up();
    await page.locator('.story-slider').press('Home');
    await expect.poll(() => light(page)).toBe('dark dark');
    const changes = await page.evaluate(() => (window as unknown as { changes: number[] }).changes);
    expect(changes.length).toBeGreaterThan(1);
    for (const ms of changes)
      expect(changes.filter((other) => other >= ms && other < ms + 1000).length).toBeLessThan(3);
  });

  test('where less motion is asked for nothing plays: one steps from still to still', async () => {
    const page = await openReplay(bench, { reducedMotion: 'reduce' });
    expect(await page.getByRole('button', { name: 'Play', exact: true }).count()).toBe(0);
    const before = await clockS(page);
    await page.locator('.blade-stage canvas').press('Space');
    await page.getByRole('button', { name: '+0.1 s' }).click();
    await expect.poll(() => clockS(page)).toBeCloseTo(before + 0.1, 3);
    await page.getByRole('button', { name: 'wrong ▸' }).click();
    await expect.poll(() => clockS(page)).toBeGreaterThan(14);
  });

  test('a take whose rates were clipped says where the direction is not known', async () => {
    const page = await openReplay(bench, {}, 'Fast figure-eight');
    const box = (await page.locator('.story-slider').boundingBox())!;
    await page.mouse.click(box.x + (40 / 48.1) * box.width, box.y + 10);
    await page.getByText('Direction not known: the rates were clipped less than 6 s ago.').waitFor();
  });

  test('nothing went wrong in any of these pages', () => expect(bench.errors).toEqual([]));
});

async function openReplay(bench: Workbench, options = {}, title = 'Wall-plane'): Promise<Page> {
  const page = await bench.openPage('/#view=replay', options);
  await page.locator('.take', { hasText: title }).click();
  await page.locator('.take[aria-current="true"]', { hasText: title }).waitFor();
  await page.locator('canvas[data-light]').waitFor();
  return page;
}

async function clockS(page: Page): Promise<number> {
  return Number.parseFloat(await page.locator('.replay-clock').innerText());
}

function light(page: Page): Promise<string | null> {
  return page.locator('.blade-stage canvas').getAttribute('data-light');
}
