import type { Page } from 'playwright-core';
import { beforeEach, expect, test } from 'vitest';
import { axeFaults } from './axe.ts';
import { describeInBrowser, openTake, painted, putCandidates, score, takeNamed } from './harness.ts';

const SPEED_IN_REASON = /let through: (\d+) °\/s/;

describeInBrowser('the Tune view on the demo takes', { withDemo: true }, (bench) => {
  beforeEach(() => putCandidates(bench));

  test('a hold lets fewer stray presses of the wall-plane take through, and one of 200 ms none, with no wanted one refused', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const through = async (slot: 'a' | 'b') => Number((await score(page, 'stray', slot)).split(' / ')[0]);
    expect(await through('b')).toBeGreaterThan(0);
    expect(await through('a')).toBeGreaterThan(await through('b'));
    await page.keyboard.press('b');
    await setField(page, '200');
    await expect.poll(() => through('b')).toBe(0);
    expect(await score(page, 'wanted', 'b')).toMatch(/^0 \/ \d+$/);
  });

  test('dragging the guard line across a stray press changes its mark, its lane and the score, and undo brings all back', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const slipped = page.locator('[data-fate="strayLetThrough"][data-press^="a."]').first();
    const mark = page.locator(`[data-press="${await slipped.getAttribute('data-press')}"]`);
    await mark.hover();
    const reason = await page.locator('.hint').innerText();
    const pressDps = Number(SPEED_IN_REASON.exec(reason)![1]);
    const before = await look(page);
    expect(before.lineDps).toBe(240);
    expect(pressDps).toBeLessThan(before.lineDps);

    await dragGuardTo(page, pressDps / 2);
    const after = await look(page);
    expect(after.lineDps).toBeLessThan(pressDps);
    expect(after.fieldDps).toBe(after.lineDps);
    expect(await mark.getAttribute('data-fate')).toBe('strayRefused');
    expect(after.lane).not.toBe(before.lane);
    expect(after.letThrough).toBeLessThan(before.letThrough);

    await page.keyboard.press('Control+z');
    expect(await look(page)).toEqual(before);
    await page.keyboard.press('Control+Shift+z');
    expect(await look(page)).toEqual(after);
  });

  test('of two equal lines a drag takes that under edit; grabbing the other edits that one, and arrow keys go on with it', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const line = (slot: 'a' | 'b') => page.locator(`[data-threshold="${slot}.guard.speedDps"]`);
    const lines = async () => [
      Number(await line('a').getAttribute('aria-valuenow')),
      Number(await line('b').getAttribute('aria-valuenow')),
    ];
    const edited = () => page.locator('.settings .unit').first().innerText();
    await page.keyboard.press('b');
    expect(await lines()).toEqual([240, 240]);
    const { x, y } = await grabGuard(page);
    await page.mouse.move(x, y - 40, { steps: 4 });
    await page.mouse.up();
    await painted(page);
    const [a, b] = await lines();
    expect(a).toBe(240);
    expect(b).toBeGreaterThan(240);

    await page.keyboard.press('a');
    expect(await edited()).toBe('candidate A');
    await page.mouse.move(x, y - 40);
    await page.mouse.down();
    await page.mouse.up();
    expect(await edited()).toBe('candidate B');
    await page.keyboard.press('Shift+ArrowUp');
    expect(await lines()).toEqual([240, b! + 10]);
  });

  test('Escape takes a drag back', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const before = await look(page);
    const { x, y } = await grabGuard(page);
    await page.mouse.move(x, y - 60, { steps: 4 });
    await expect.poll(async () => (await look(page)).lineDps).toBeGreaterThan(before.lineDps);
    await page.keyboard.press('Escape');
    expect(await look(page)).toEqual(before);
    await page.mouse.up();
    expect(await look(page)).toEqual(before);
  });

  test('a line with the focus moves by 1 with an arrow key, by 10 with Shift', async () => {
    const page = await openTake(bench, 'Wall-plane');
    await page.locator(GUARD_A).focus();
    const from = (await look(page)).lineDps;
    await page.keyboard.press('ArrowUp');
    expect((await look(page)).lineDps).toBe(from + 1);
    await page.keyboard.press('Shift+ArrowDown');
    expect((await look(page)).lineDps).toBe(from - 9);
  });

  test('swings without a deflection are marked, and the reason is told of all and of each', async () => {
    const page = await openTake(bench, 'Fast figure-eight');
    const missed = () => score(page, 'missed');
    const marks = page.locator('[data-lane="missed-a"]');
    const before = Number(await missed());
    expect(before).toBeGreaterThan(20);
    expect(await marks.getAttribute('data-count')).toBe(String(before));
    await page.locator('.deflection-scores summary').click();
    await expect
      .poll(() => page.locator('[data-score="missed"] .note').innerText())
      .toMatch(new RegExp(`^${before} not armed again;`));
    const shape = (await marks.locator('.lane-missed').getAttribute('d'))!;
    const left = Number(/^M([\d.]+)/.exec(shape)![1]) + 3.5;
    const reach = (await marks.locator('.reach').boundingBox())!;
    await page.mouse.move(reach.x + left, reach.y + reach.height / 2);
    const hint = page.locator('.hint');
    expect(await hint.innerText()).toMatch(/not armed again: since [\d.]+ s the speed fell to \d+ °\/s/);
    expect(await hint.innerText()).toMatch(/It would deflect with|No change of one setting/);
    await page.mouse.move(2, 2);
    await expect.poll(() => hint.count()).toBe(0);

    // Between the loops' slowest and fastest, armed again as soon as the speed falls below it.
    const group = page.locator('.settings', { hasText: 'Swing deflection' });
    await group.locator('summary').click();
    const setting = group.locator('.number input');
    await setting.nth(0).fill('600');
    await setting.nth(1).fill('1');
    await expect.poll(async () => Number(await missed())).toBeLessThan(before / 2);
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
  });

  test('a number that is none is marked and changes nothing', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const before = await look(page);
    const field = page.locator(GUARD_FIELD);
    await field.fill('-20');
    expect(await field.getAttribute('aria-invalid')).toBe('true');
    expect(await look(page)).toEqual({ ...before, fieldDps: -20 });
    await field.blur();
    expect(await look(page)).toEqual(before);
  });

  test('a press is labelled with the keyboard, the label is kept over a reload, and undone', async () => {
    const page = await openTake(bench, 'Wall-plane');
    await page.keyboard.press('n');
    const mark = page.locator('[data-press="a.0"]');
    const before = await mark.getAttribute('data-fate');
    const counts = await wantedAndStray(page);
    const isStray = before!.startsWith('stray');
    await page.keyboard.press(isStray ? 'w' : 's');
    expect(await mark.getAttribute('data-fate')).toMatch(isStray ? /^wanted/ : /^stray/);
    expect(await wantedAndStray(page)).not.toEqual(counts);
    expect(await page.locator('.press-text').innerText()).toContain('labelled by a person');

    await page.keyboard.press('Control+z');
    expect(await mark.getAttribute('data-fate')).toBe(before);
    expect(await wantedAndStray(page)).toEqual(counts);

    await page.keyboard.press('u');
    await page.locator('[data-save="saved"]').waitFor();
    await page.reload();
    await page.locator('.stave-speed').waitFor();
    // The address has kept the chosen press too.
    expect(await mark.getAttribute('data-fate')).toMatch(/^unlabelled/);
    expect(await page.locator('.press-bar [aria-pressed="true"]').innerText()).toBe('Unsure');
    await page.keyboard.press('u');
    await page.locator('[data-save="saved"]').waitFor();
  });

  test('the address keeps take, view and candidate over a reload', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const box = (await page.locator('.stave-speed .over').boundingBox())!;
    await page.mouse.move(box.x + box.width / 3, box.y + 20);
    await page.mouse.wheel(0, -600);
    await page.keyboard.press('b');
    await page.waitForFunction(
      () => location.hash.includes('from=') && location.hash.includes('candidate=b'),
    );
    const place = await page.evaluate(() => location.hash);
    await page.reload();
    await page.locator('.stave-speed').waitFor();
    expect(await page.evaluate(() => location.hash)).toBe(place);
    expect(await page.locator('.settings .unit').first().innerText()).toBe('candidate B');
    await page.dblclick('.stave-speed .over', { position: { x: 40, y: 10 } });
    await page.waitForFunction(() => !location.hash.includes('from='));
  });

  test('a take that cannot be read is asked for once for its badge and once for its signals, and the takes behind it still get their badges', async () => {
    const { id } = await takeNamed(bench, 'Slow figure-eight');
    let asked = 0;
    const page = await bench.openPage('/', {}, (fresh) =>
      fresh.route(`**/api/takes/${id}/columns`, (route) => {
        asked += 1;
        return route.fulfill({ status: 422, json: { code: 'LOG_FORMAT', message: 'spoilt for this test' } });
      }),
    );
    const badge = (title: string) =>
      page.locator('.take', { hasText: title }).locator('.badge').textContent();
    // The takes are counted in their order, and this one is the last.
    await expect.poll(() => badge('First lesson')).toBe('4 through');
    await expect.poll(() => asked).toBe(2);
    await setField(page, '200');
    await expect.poll(() => badge('First lesson')).toBe('1 through');
    expect(asked).toBe(2);
    expect(await badge('Slow figure-eight')).toBe('');
    // The browser itself puts the refused answer into its console.
    expect(bench.errors.splice(0).every((error) => error.includes('422'))).toBe(true);
  });

  test('a save that another tab has overtaken can be put over it', async () => {
    const [mine, other] = [await openTake(bench, 'Wall-plane'), await openTake(bench, 'Wall-plane')];
    await setField(other, '31');
    await setField(mine, '47', 'failed');
    expect(await mine.locator('.notice').textContent()).toContain('changed elsewhere');
    await mine.getByRole('button', { name: 'See what differs' }).click();
    const row = mine.getByRole('dialog').locator('tbody tr');
    // The one setting that both changed, as it is here and there.
    await expect.poll(() => row.count()).toBe(1);
    expect(await row.innerText()).toMatch(/^A: .*both changed it.*\s47 ms\s+31 ms$/);
    expect(await axeFaults(mine)).toEqual([]);
    await mine.getByRole('button', { name: 'Keep mine' }).click();
    await mine.locator('[data-save="saved"]').waitFor();
    await other.reload();
    await other.locator('.stave-speed').waitFor();
    expect(await other.locator(HOLD_FIELD).inputValue()).toBe('47');
    expect(bench.errors.splice(0).every((error) => error.includes('409'))).toBe(true);
  });

  test('nothing went wrong in any of these pages', () => {
    expect(bench.errors).toEqual([]);
  });
});

const GUARD_A = '[data-threshold="a.guard.speedDps"]';
const GUARD_FIELD = '.settings .number input >> nth=0';
const HOLD_FIELD = '.settings .number input >> nth=1';

/** What a threshold drag is to change, and the two places that show its number. */
async function look(page: Page) {
  await painted(page);
  return {
    lineDps: Number(await page.locator(GUARD_A).getAttribute('aria-valuenow')),
    fieldDps: Number(await page.locator(GUARD_FIELD).inputValue()),
    lane: await page.locator('[data-lane="guard-a"]').getAttribute('d'),
    letThrough: Number((await score(page, 'stray', 'a')).split(' ')[0]),
  };
}

async function setField(page: Page, holdMs: string, until: 'saved' | 'failed' = 'saved'): Promise<void> {
  // Looked for from before on: it lasts no longer than the save.
  const isSaving = page.locator('[data-save="saving"]').waitFor();
  await page.locator(HOLD_FIELD).fill(holdMs);
  await isSaving;
  await page.locator(`[data-save="${until}"]`).waitFor();
}

async function wantedAndStray(page: Page): Promise<string[]> {
  return [await score(page, 'wanted', 'a'), await score(page, 'stray', 'a')];
}

async function grabGuard(page: Page): Promise<{ x: number; y: number }> {
  const line = (await page.locator(GUARD_A).boundingBox())!;
  const at = { x: line.x + line.width / 2, y: line.y + line.height / 2 };
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  return at;
}

/** The line lies at its value; the plot's foot is 0. */
async function dragGuardTo(page: Page, dps: number): Promise<void> {
  const { lineDps } = await look(page);
  const over = (await page.locator('.stave-speed .over').boundingBox())!;
  const { x, y } = await grabGuard(page);
  const foot = over.y + over.height;
  await page.mouse.move(x, foot - ((foot - y) * dps) / lineDps, { steps: 8 });
  await page.mouse.up();
}
