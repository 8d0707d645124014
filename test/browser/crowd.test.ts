import { expect, test } from 'vitest';
import { describeInBrowser, openTake, painted, showWhole } from './harness.ts';
import { addTake } from './takes.ts';

const PRESSES = 200;

/** A blade that goes to and fro, and a press every 0.3 s, 0.1 s long. */
function crowdedLog(): string {
  const lines = ['time_s,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power_button'];
  for (let i = 0; i < PRESSES * 30; ++i) {
    const rate = 500 * Math.sin(i / 37);
    lines.push(
      `${(i / 100).toFixed(2)},0.5,${rate.toFixed(2)},-0.25,0.01,-0.02,0.999,${i % 30 >= 10 && i % 30 < 20 ? 1 : 0}`,
    );
  }
  return `${lines.join('\n')}\n`;
}

describeInBrowser('a take with more presses than there is room for', { withDemo: false }, (bench) => {
  test('tells them in bands that lose none; a click zooms in, until each press has its mark', async () => {
    await addTake(bench, { name: 'crowd.csv', text: crowdedLog(), title: 'A crowd', performer: 'Beginner' });
    const page = await openTake(bench, 'A crowd');
    await showWhole(page);
    const bands = page.locator('[data-bands="a"]');
    const totals = (await bands.getAttribute('data-totals'))!.split(' ').map(Number);
    expect(totals.length).toBeGreaterThan(10);
    expect(totals.reduce((sum, total) => sum + total)).toBe(PRESSES);
    expect(await page.locator('[data-press]').count()).toBe(0);

    const lane = bands.locator('.reach');
    const position = { x: 130, y: 10 };
    await lane.hover({ position });
    const said = await page.locator('.hint').innerText();
    expect(said).toMatch(/^\d+ presses\s+\d+ no label, .*Click to zoom in\.$/);
    expect(totals).toContain(Number.parseInt(said, 10));

    await lane.click({ position });
    await page.waitForFunction(() => location.hash.includes('from='));
    await painted(page);
    expect(await bands.count()).toBe(0);
    expect(await page.locator('[data-press^="a."]').count()).toBeGreaterThan(1);
  });
});
