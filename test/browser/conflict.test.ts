import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { axeFaults } from './axe.ts';
import { describeInBrowser, openTake, takeNamed } from './harness.ts';

describeInBrowser('two tabs that change the same', { withDemo: true }, (bench) => {
  const dialog = (page: Page) => page.getByRole('dialog', { name: 'Changed in two places' });
  const seeWhatDiffers = async (page: Page): Promise<void> => {
    await page.getByRole('alert').getByRole('button', { name: 'See what differs' }).click();
    await dialog(page).waitFor();
  };
  const holdOf = (page: Page) => page.getByRole('textbox', { name: 'Hold after swing' });
  const setHold = async (page: Page, ms: string): Promise<void> => {
    await holdOf(page).fill(ms);
    await holdOf(page).press('Enter');
  };
  const saved = (page: Page) => page.locator('[data-save="saved"]').waitFor();

  test('labels: what each changed stands side by side, and both together keeps the one and the other', async () => {
    const [mine, theirs] = [await openTake(bench, 'Parry drill'), await openTake(bench, 'Parry drill')];
    await theirs.keyboard.press('n');
    await theirs.keyboard.press('u');
    await saved(theirs);
    await mine.keyboard.press('n');
    await mine.keyboard.press('n');
    await mine.keyboard.press('u');
    await seeWhatDiffers(mine);
    expect(await axeFaults(mine)).toEqual([]);
    const changes = (name: string) => dialog(mine).getByRole('region', { name }).innerText();
    expect(await changes('Changed here')).toMatch(/press at 0:\d\d\.\d, unsure/);
    expect(await changes('Changed there')).toMatch(/press at 0:\d\d\.\d, unsure/);
    await dialog(mine).getByRole('button', { name: 'Both together' }).click();
    await saved(mine);
    const { labels } = await takeNamed(bench, 'Parry drill');
    const unsure = labels.presses.filter(({ intent, by }) => intent === 'unsure' && by === 'person');
    expect(unsure.length).toBe(2);
  });

  test('candidates: theirs can be taken, and mine can be kept', async () => {
    const [mine, theirs] = [await openTake(bench, 'Wall-plane'), await openTake(bench, 'Wall-plane')];
    await setHold(theirs, '110');
    await saved(theirs);
    await setHold(mine, '90');
    await seeWhatDiffers(mine);
    expect(await axeFaults(mine)).toEqual([]);
    expect(await dialog(mine).getByRole('row').last().innerText()).toMatch(
      /^A: Guard stays closed afterwards for.*90 ms\s+110 ms$/s,
    );
    await dialog(mine).getByRole('button', { name: 'Take theirs' }).click();
    await expect.poll(() => holdOf(mine).inputValue()).toBe('110');

    await setHold(mine, '70');
    await saved(mine);
    await setHold(theirs, '60');
    await seeWhatDiffers(theirs);
    await dialog(theirs).getByRole('button', { name: 'Keep mine' }).click();
    await saved(theirs);
    await mine.reload();
    await mine.locator('.stave-speed .over').waitFor();
    await expect.poll(() => holdOf(mine).inputValue()).toBe('60');
    // The browser itself tells of each refused write.
    expect(bench.errors.filter((text) => !text.includes('409 (Conflict)'))).toEqual([]);
  });
});
