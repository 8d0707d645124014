import { afterAll, describe, expect, test } from 'vitest';
import { run } from '../../server/cli/evaluate.ts';
import { rowsOf, type Sample, SIX, time } from '../ingest/logs.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

/** Rest, then two spins of eight swings to and fro, each with a stop of four seconds after it; no button. */
const take: Sample[] = Array.from({ length: 3600 }, (_, i) => {
  const t = i / 200;
  const inSpin = (t - 2) % 8;
  const rate = t >= 2 && inSpin < 4 ? 500 * Math.sin(2 * Math.PI * inSpin) : 0;
  return { t, gyro: [0, 0, rate], accel: [0, 0, 1] };
});
const log = folder.write(
  'swings.csv',
  `t_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g\n${rowsOf(take, [time(), ...SIX])}`,
);
const labels = {
  spans: [2, 10].map((startS) => ({ startUs: startS * 1e6, endUs: (startS + 4) * 1e6, kind: 'spinning' })),
};
const labelled = folder.write('labels.json', JSON.stringify(labels));
/** The log has no noise, which the signal check takes for stuck channels. */
const evaluate = (...argv: string[]) => runCli(run, '--accept-unfit', ...argv);

describe('evaluate, of a log without a button', () => {
  test('tells how the guard does in each spin and after each stop, and that nobody has confirmed them', async () => {
    const { out } = await evaluate(log);
    expect(out).toContain('by motion, not by presses (spins and stops proposed, not confirmed):');
    // The plain momentary guard: open at every one of seven reversals, and at once after a stop.
    expect(out).toMatch(
      /spins open for more than 1 in 20 of their time: 2 of 2 \(at least 95 %: 16 to 100 %\); part of a spin open: median 3\d\.\d %/,
    );
    expect(out).toMatch(/stops with the guard closed 300 ms after them or later: 0 of 2/);
  });

  test('in JSON, with labels that a person gave', async () => {
    const { json } = await evaluate(log, '--labels', labelled, '--json');
    expect(json().scores.guardByMotion).toMatchObject({
      patienceMs: 300,
      isConfirmed: true,
      spinsOpen: { k: 2, n: 2 },
      stopsLate: { k: 0, n: 2 },
    });
  });

  test('takes the patience that is stated, and refuses one out of its bounds', async () => {
    const { json } = await evaluate(log, '--patience', '120.5', '--json');
    expect(json().scores.guardByMotion.patienceMs).toBe(120.5);
    const { code, err } = await evaluate(log, '--patience', '2000');
    expect(code).toBe(2);
    expect(err).toContain('--patience must be a number from 50 to 900 ms, got "2000"');
  });
});
