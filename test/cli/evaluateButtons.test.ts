import { readFileSync } from 'node:fs';
import { afterAll, expect, test } from 'vitest';
import { run } from '../../server/cli/evaluate.ts';
import { formatCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { rowsOf, type Sample, SIX, time } from '../ingest/logs.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

/** Four seconds of swings about z (peaks of 500 deg/s every half second) between two of rest. */
const take: Sample[] = Array.from({ length: 1600 }, (_, i) => {
  const t = i / 200;
  const rate = t < 2 || t >= 6 ? 0 : 500 * Math.sin(2 * Math.PI * (t - 2));
  return { t, gyro: [0, 0, rate], accel: [0, 0, 1] };
});
/** Presses at a peak (2.25 s), at a reversal (2.5 s) and after the stop (7 s). */
const isDown = (s: Sample) => Number([2.25, 2.5, 7].some((at) => s.t >= at - 1e-9 && s.t < at + 0.05));
const log = folder.write(
  'swings.csv',
  `t_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g,power_button,other_button\n${rowsOf(take, [time(), ...SIX, isDown, () => 0])}`,
);
/** The log has no noise, which the signal check takes for stuck channels. */
const evaluate = (...argv: string[]) => runCli(run, '--accept-unfit', ...argv);

test('deflections that wait for a button go by the one that the log has, or the one that is named', async () => {
  const { deflection } = DEFAULT_CANDIDATE;
  const held = folder.write(
    'held.json',
    formatCandidateFile({ ...DEFAULT_CANDIDATE, deflection: { ...deflection, switchedOn: 'held' } }),
  );
  const lineOf = async (...argv: string[]) =>
    (await evaluate(log, '--candidate', held, ...argv)).out
      .split('\n')
      .find((line) => line.includes('deflections:'));
  // The column of the other button is there, and it was never pressed.
  expect(await lineOf()).toMatch(
    /once none of this kind, missed 0, .*; 8 swings not counted, with the button up/,
  );
  expect(await lineOf('--deflection-button', 'power_button')).toMatch(/once .*6 swings not counted/);
  const alone = folder.write('alone.csv', readFileSync(log, 'utf8').replace(/,[^,\n]*$/gm, ''));
  const { out } = await evaluate(alone, '--candidate', held);
  expect(out).toMatch(/deflections: not known: its log does not tell when the deflection button was held/);
  const told = (await evaluate(alone, '--candidate', held, '--json')).json();
  expect([told.scores.deflection, told.summary.events.deflections, told.deflectionButton]).toEqual([
    null,
    null,
    null,
  ]);
  const refused = await evaluate(log, '--deflection-button', 'trigger');
  expect([refused.code, refused.err]).toEqual([2, expect.stringMatching(/--deflection-button/)]);
});
