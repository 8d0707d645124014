import { expect, test } from 'vitest';
import type { SettingsBody } from '../../server/http/schemas.ts';
import { describeInBrowser, putCandidates, score } from './harness.ts';

describeInBrowser('from a wrong press to a kept setting', { withDemo: true }, (bench) => {
  const kept = async () =>
    ((await (await fetch(`${bench.server.address}/api/settings`)).json()) as SettingsBody).settings;

  test('each view names the next step: find a setting, take it, keep it, show it; undo takes the keep back, redo keeps again', async () => {
    await putCandidates(bench);
    const page = await bench.openPage('/');
    const said = page.locator('.why-line');
    await expect.poll(() => said.innerText()).toMatch(/^Stray press at [\d.]+ s let through/);
    // Every wrong press can be reached, by button and by key, and each is told of.
    expect(await page.locator('.wrong-walk output').innerText()).toBe('1 of 5 wrong');
    await page.getByRole('button', { name: 'Next wrong press' }).click();
    await expect.poll(() => page.locator('.wrong-walk output').innerText()).toBe('2 of 5 wrong');
    // Its moment alone: the cause comes a little later.
    const momentOf = async () => /^Stray press at ([\d.]+) s/.exec(await said.innerText())?.[1];
    const second = await momentOf();
    await page.keyboard.press(']');
    await expect.poll(() => page.locator('.wrong-walk output').innerText()).toBe('3 of 5 wrong');
    expect(await momentOf()).not.toBe(second);
    await page.keyboard.press('[');
    await expect.poll(momentOf).toBe(second);

    await said.getByRole('button', { name: 'Find a setting for all 4 takes' }).click();
    const card = page.locator('.sweep-grid:not(.is-old) .suggestion');
    await card.locator('.headline').waitFor({ timeout: 60_000 });
    const found = await card.locator('.headline').innerText();
    expect(await page.locator('.scope button[aria-pressed="true"]').first().innerText()).toBe('Lead spinner');
    const next = card.locator('.take-it .main');
    expect(await next.allInnerTexts()).toEqual(['Take it into B']);
    await next.click();
    await expect.poll(() => next.allInnerTexts()).toEqual(['Keep B…']);
    // In Tune, too, where all goes right now.
    await card.getByRole('button', { name: 'See it in Tune' }).click();
    await expect.poll(() => score(page, 'stray', 'b')).toBe('0 / 10');
    await expect.poll(() => said.innerText()).toContain('every stray press is refused');
    await said.getByRole('button', { name: 'Keep B…' }).click();
    const dialog = page.getByRole('dialog');
    expect(await dialog.getByLabel('Name').inputValue()).toBe('Lead spinner');
    await dialog.getByRole('button', { name: 'Keep', exact: true }).click();
    await dialog.waitFor({ state: 'detached' });
    expect(await kept()).toHaveLength(1);

    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await kept()).length).toBe(0);
    await said.getByRole('button', { name: 'Keep B…' }).waitFor();
    await page.keyboard.press('Control+Shift+z');
    await expect.poll(async () => (await kept()).length).toBe(1);
    await said.getByRole('button', { name: 'Kept as “Lead spinner”: show it' }).click();
    const shown = page.locator('.kept-card');
    expect(await shown.locator('.headline').innerText()).toContain(found);
    await shown.getByText('up to date').waitFor({ timeout: 60_000 });
    // What holds in Sweep holds here: its margins are the same ones.
    const [, low, high] = /As good from (\d+) to (\d+) °\/s/.exec(await shown.innerText())!;
    await page.getByRole('button', { name: 'Sweep', exact: true }).click();
    await card.locator('.headline').waitFor({ timeout: 60_000 });
    expect(await card.innerText()).toContain(`As good from ${low} to ${high} °/s`);
    expect(await next.allInnerTexts()).toEqual(['Kept as “Lead spinner”: show it']);
  });

  test('where presses are too few to name a change, that is said in its place', async () => {
    await putCandidates(bench);
    const page = await bench.openPage('/');
    await page.locator('.take', { hasText: 'Thrust line' }).click();
    const said = page.locator('.why-line');
    await expect.poll(() => said.innerText()).toContain('too few to tell settings apart');
    expect(await said.locator('[data-fix]').count()).toBe(0);
  });

  test('nothing went wrong in any of these pages', () => expect(bench.errors).toEqual([]));
});
