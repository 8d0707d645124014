import { expect, test } from 'vitest';
import { PLAIN_CANDIDATE, plainDeviceLog } from '../plainDeviceLog.ts';
import { drop } from './drop.ts';
import { describeInBrowser, putCandidates, takeNamed } from './harness.ts';

describeInBrowser('a log with the prop’s own decisions', { withDemo: false }, (bench) => {
  test('is read without a question, held against both candidates, and the cause is looked for on asking', async () => {
    await putCandidates(bench, PLAIN_CANDIDATE);
    const page = await bench.openPage();
    await drop(page, [['prop.csv', plainDeviceLog(4)]]);
    await page.locator('.mapping').waitFor();
    expect(await page.getByLabel('What column guard_closed is').inputValue()).toBe('guardClosed');
    expect(await page.getByLabel('What column press_refused is').inputValue()).toBe('pressRefused');
    await page.locator('dialog').getByLabel('Title').fill('On the prop');
    await page.getByRole('button', { name: 'Add this take' }).click();
    await page.locator('.take', { hasText: 'On the prop' }).waitFor();

    const line = page.locator('[data-device-line="b"]');
    await expect
      .poll(() => line.innerText())
      .toMatch(/The prop differs from the bench: \d+ of \d+ decisions alike/);
    expect(await line.innerText()).toContain('the prop 20 ms later');
    const { decisions } = await takeNamed(bench, 'On the prop');
    expect(decisions!.fires).toBeNull();
    const marks = page.locator('[data-lane="differs-b"]');
    const [, alike, n] = /(\d+) of (\d+) decisions/.exec(await line.innerText())!;
    expect(await marks.getAttribute('data-count')).toBe(String(Number(n) - Number(alike)));
    expect(await page.locator('[data-device="refused"]').count()).toBe(decisions!.refusedUs!.length);
    expect(await page.locator('[data-device="guard"]').getAttribute('d')).toMatch(/^M/);

    await line.getByRole('button', { name: 'What was counted' }).click();
    expect(await line.locator('.explanation').innerText()).toContain('The log does not tell of fires.');
    await page.keyboard.press('Escape');

    await line.getByRole('button', { name: 'Find the likely cause' }).click();
    await expect
      .poll(() => line.innerText(), { timeout: 60_000 })
      .toContain('Likely cause: the prop decides 20 ms late (4 samples)');
    // Of another setting nothing was asked yet.
    await page.keyboard.press('b');
    const field = page.locator('.settings .number input').first();
    await field.fill('100');
    await field.press('Enter');
    await expect.poll(() => line.innerText()).not.toContain('Likely cause');
  });

  test('a log without them shows none of it', async () => {
    const page = await bench.openPage();
    const plain = plainDeviceLog(0)
      .split('\n')
      .map((row) => row.split(',').slice(0, 8).join());
    await drop(page, [['plain.csv', plain.join('\n')]]);
    await page.locator('.mapping').waitFor();
    await page.locator('dialog').getByLabel('Title').fill('Plain');
    await page.getByRole('button', { name: 'Add this take' }).click();
    await page.locator('.take', { hasText: 'Plain' }).waitFor();
    await page.locator('.take[aria-current="true"]', { hasText: 'Plain' }).waitFor();
    await page.locator('[data-lane="guard-a"]').waitFor({ state: 'attached' });
    expect(await page.locator('[data-device-line], [data-lane="device"]').count()).toBe(0);
  });

  test('nothing went wrong in any page', () => expect(bench.errors).toEqual([]));
});
