import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { seededNormal } from '../../scripts/simulate/random.ts';
import { drop } from './drop.ts';
import { describeInBrowser, openTake, painted, putCandidates, takeNamed, unfold } from './harness.ts';

/**
 * Rest, then six spins of eight swings to and fro about a level axis, each slower than the last, with a stop of three
 * seconds after each. The force is gravity as the sensor turns under it.
 */
function spinLog(): string {
  const noise = seededNormal(11);
  const rows = Array.from({ length: 4600 }, (_, i) => {
    const t = i / 100;
    const spin = Math.floor((t - 3) / 7);
    const inSpin = (t - 3) % 7;
    const isSpin = t >= 3 && spin < 6 && inSpin < 4;
    const peakDps = 620 - 40 * spin;
    const dps = isSpin ? peakDps * Math.sin(2 * Math.PI * inSpin) : 0;
    const turnRad = isSpin ? (peakDps / 360) * (1 - Math.cos(2 * Math.PI * inSpin)) : 0;
    const force = [-Math.sin(turnRad), 0, Math.cos(turnRad)].map((g) => (g + noise() * 0.005).toFixed(4));
    const rate = [0, dps, 0].map((value) => (value + noise() * 0.2).toFixed(2));
    return [Math.round(t * 1000), ...force, ...rate].join(',');
  });
  return `time_ms,ax_g,ay_g,az_g,gx_dps,gy_dps,gz_dps\n${rows.join('\n')}\n`;
}

describeInBrowser('a guard judged by motion', { withDemo: true }, (bench) => {
  beforeAll(async () => {
    await putCandidates(bench);
  });

  test('a log without a button: dropped, its spins confirmed, it gets a map and a suggestion that says what it rests on', async () => {
    const page = await bench.openPage();
    await drop(page, [['no-button.csv', spinLog()]]);
    const dialog = page.locator('dialog');
    await dialog.getByText('No column is a button.').waitFor();
    expect(await dialog.innerText()).toContain('by spins and stops alone');
    expect(await dialog.innerText()).toContain('Which way does the blade point?');
    const tip = dialog.getByLabel('Sensor axis toward the tip');
    expect(await tip.locator('option:checked').innerText()).toBe('not said: +x');
    await dialog.getByLabel('Title').fill('No button');
    await dialog.getByLabel('Performer').fill('Passer-by');
    await page.getByRole('button', { name: 'Add this take' }).click();
    await page.locator('.take[aria-current="true"]', { hasText: 'No button' }).waitFor();

    // Whoever tries an axis out can say again that nobody knows.
    await page.locator('.take-panel summary').first().click();
    const blade = page.locator('.take-panel').getByLabel('Sensor axis toward the tip');
    const mount = async () => {
      const { calibration } = await takeNamed(bench, 'No button');
      return [calibration.mount.tip, calibration.isMountStated ?? false];
    };
    await blade.selectOption('+z');
    await expect.poll(mount).toEqual(['+z', true]);
    await blade.selectOption('not said: +x');
    await expect.poll(mount).toEqual(['+x', false]);

    // In Tune, shares by spin and waits by stop stand where there is no press.
    await page.locator('[data-score="spins"]').waitFor();
    expect(await page.locator('[data-score="spins"]').innerText()).toMatch(
      /Spins open\s+6 \/ 6[\s\S]*proposed/,
    );
    expect(await page.locator('[data-score="stops"]').innerText()).toMatch(
      /Stops late\s+0 \/ 6[\s\S]*300 ms/,
    );
    expect(await page.locator('[data-score="stray"], [data-score="wanted"]').count()).toBe(0);
    // Each open spin is a click away: the view is that of the spin, then that of the next.
    const seen = new Set<string>();
    for (let k = 0; k < 3; ++k) {
      const before = page.url();
      await page.getByRole('button', { name: 'Show the next open spin' }).click();
      await expect.poll(() => page.url()).not.toBe(before);
      seen.add(page.url());
    }
    expect(seen.size).toBe(3);

    await page.getByRole('button', { name: 'Sweep', exact: true }).click();
    await page.locator('[data-judged="motion"]').waitFor();
    await page.locator('[data-decline="unconfirmed"]').waitFor();
    expect(await page.locator('.suggestion').first().innerText()).toMatch(/6 spins and 6 stops/);
    expect(await page.locator('[data-by-presses="noPresses"]').innerText()).toContain('There is no press');
    expect(await page.getByLabel('To confirm').innerText()).toContain(
      'the map shows them as proposed; nothing is suggested until they are confirmed',
    );
    await page.locator('.map-card canvas').waitFor();

    await page.getByRole('button', { name: 'Look at them in Tune' }).click();
    await page.getByRole('button', { name: /^Confirm 6 spins and \d+ swings$/ }).click();
    await page.getByRole('button', { name: 'Sweep', exact: true }).click();
    await page.locator('.sweep-grid:not(.is-old) .suggestion .headline', { hasText: '°/s, hold' }).waitFor();
    const card = page.locator('.suggestion').first();
    expect(await card.locator('[data-rests="motion"]').innerText()).toContain(
      'This rests on motion, not on presses',
    );
    expect(await card.innerText()).toMatch(/Spins open\s+0 \/ 6\s+at least 95 %: 0–46 %/);
    expect(await card.innerText()).toContain('No press is labelled here');
    expect(await card.locator('[data-mount="assumed"]').innerText()).toContain('The mount is assumed');
    await unfold(page, 'Checks');
    await page.locator('.checks table').first().waitFor();

    // Taken, it leaves no spin open and no stop late, in Tune as it said.
    await card.getByRole('button', { name: 'Take it into A' }).click();
    await page.getByRole('button', { name: 'Tune', exact: true }).click();
    await expect.poll(() => page.locator('[data-score="spins"] [data-slot="a"]').innerText()).toBe('0 / 6');
    expect(await page.locator('[data-score="stops"] [data-slot="a"]').innerText()).toBe('0 / 6');

    // Kept for its performer, it shows what it was judged by, and that the mount is assumed.
    await page.getByRole('button', { name: 'Keep A…' }).click();
    const keep = page.getByRole('dialog');
    await keep.getByLabel('Name').fill('By motion');
    await keep.getByRole('checkbox', { name: 'Passer-by' }).check();
    expect(await keep.locator('[data-mount="assumed"]').innerText()).toContain('The mount is assumed');
    await keep.getByRole('button', { name: 'Keep', exact: true }).click();
    await page.getByRole('button', { name: 'Kept settings', exact: true }).click();
    const kept = page.locator('.kept-card', { has: page.getByRole('heading', { name: 'By motion' }) });
    await kept.locator('[data-judged="motion"]').waitFor({ timeout: 60_000 });
    const said = await kept.innerText();
    expect(said).toMatch(/Spins open\s+0 \/ 6[\s\S]*Stops late\s+0 \/ 6[\s\S]*by motion, no presses/);
    expect(said).toContain('The mount is assumed: nobody has said which way the blade points');

    // Said in Signal check, it is assumed no longer, and the judgement is out of date.
    await page.getByRole('button', { name: /^Signal check/ }).click();
    await page.locator('.verdict').waitFor();
    await unfold(page, 'Calibration');
    await page.locator('.calibration').getByLabel('Sensor axis toward the tip').selectOption('+x');
    await page.getByText('Mount set: tip +x.').waitFor();
    await page.getByRole('button', { name: 'Kept settings', exact: true }).click();
    await kept.getByRole('button', { name: 'Judge anew' }).click();
    await expect.poll(() => kept.innerText(), { timeout: 60_000 }).not.toContain('assumed');
    expect(bench.errors).toEqual([]);
  });

  test('a take with presses is judged by them unless asked; then it says how well both agree', async () => {
    const page = await openTake(bench, 'Wall-plane', 'sweep');
    await page.locator('.sweep-grid:not(.is-old) .suggestion .headline').waitFor();
    expect(await page.locator('[data-judged="motion"]').count()).toBe(0);
    await page.getByRole('button', { name: 'By motion', exact: true }).click();
    await page.locator('[data-judged="motion"] .suggestion .headline').waitFor();
    const beside = await page.locator('[data-agreement="some"]').innerText();
    expect(beside).toMatch(
      /By its presses alone the suggestion is \d+ °\/s, hold \d+ ms[\s\S]*0 of 10 stray presses[\s\S]*They agree\./,
    );
    expect(await page.locator('[data-by-presses]').count()).toBe(0);

    // The patience is part of the address, and of what is suggested.
    const upTo = async () =>
      /As good from \d+ to (\d+) ms/.exec(await page.locator('.suggestion').first().innerText())?.[1];
    const before = Number(await upTo());
    await page.getByLabel('Patience after a stop, ms').fill('200');
    await page.getByLabel('Patience after a stop, ms').press('Enter');
    await expect.poll(() => page.url()).toMatch(/&judge=motion&patience=200/);
    await page.locator('.sweep-grid:not(.is-old) .suggestion', { hasText: '200 ms after a stop' }).waitFor();
    expect(before - Number(await upTo())).toBe(100);
    await page.reload();
    await page.locator('.sweep-grid:not(.is-old) .suggestion', { hasText: '200 ms after a stop' }).waitFor();
    await page.getByRole('button', { name: 'By presses', exact: true }).click();
    await expect.poll(() => page.locator('[data-judged="motion"]').count()).toBe(0);
  });

  test('every layer of its map is drawn', async () => {
    const page = await bench.openPage('/#view=sweep&judge=motion&takes=all');
    await page.locator('.map-card canvas').waitFor();
    await page.locator('[data-job="done"]').waitFor();
    const pictures = new Set<string>();
    for (const layer of ['wrong', 'strays', 'wanted', 'reversals', 'open', 'wait', 'quiet']) {
      await page.locator('.layer select').selectOption(layer);
      await painted(page);
      pictures.add(await pictureOf(page));
    }
    expect(pictures.size).toBe(7);
  });
});

function pictureOf(page: Page): Promise<string> {
  return page.locator('.map-card canvas').evaluate((canvas) => (canvas as HTMLCanvasElement).toDataURL());
}
