import { afterAll, expect, test } from 'vitest';
import { run } from '../../server/cli/evaluate.ts';
import { rollingTake, rowsOf, SIX, time } from '../ingest/logs.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

/** Eight seconds, and two presses. */
const log = folder.write(
  'roll.csv',
  `t_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g,power_button\n${rowsOf(rollingTake(800, 100), [
    time(),
    ...SIX,
    (_, i) => Number(i % 300 > 200 && i % 300 < 220),
  ])}`,
);
const labels = {
  presses: [
    { button: 'power_button', downUs: 2_010_000, intent: 'stray' },
    { button: 'power_button', downUs: 5_010_000, intent: 'wanted' },
  ],
  spans: [{ startUs: 2_000_000, endUs: 3_000_000, kind: 'spinning' }],
};
const evaluate = (...argv: string[]) => runCli(run, ...argv);

test('labels of which none fits are refused with the reason, as on the page', async () => {
  const presses = labels.presses.map((press) => ({ ...press, button: 'thumb' }));
  const other = folder.write('thumb.json', JSON.stringify({ presses }));
  const { code, out, err } = await evaluate(log, '--labels', other);
  expect([code, out]).toEqual([1, '']);
  expect(err).toContain(
    'thumb.json: no label in it fits this take. Left out: 2 labels of the button “thumb”',
  );
  const { code: again, json } = await evaluate(log, '--labels', other, '--json');
  expect(again).toBe(1);
  expect(json().error).toMatchObject({ code: 'LABELS', file: other });
});

test('labels of which some fit count, and those that do not are told of', async () => {
  const beyond = { startUs: 9_000_000, endUs: 9_500_000, kind: 'spinning' };
  const some = folder.write('some.json', JSON.stringify({ ...labels, spans: [...labels.spans, beyond] }));
  const { code, out } = await evaluate(log, '--labels', some);
  expect(code).toBe(0);
  expect(out).toContain('presses without a label: 0');
  expect(out).toContain(`note: ${some}: Left out: 1 label beyond the end of the take.`);
  const { json } = await evaluate(log, '--labels', some, '--json');
  expect(json().warnings).toContain(`${some}: Left out: 1 label beyond the end of the take.`);
});
