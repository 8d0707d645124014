import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, test } from 'vitest';
import { run } from '../../server/cli/evaluate.ts';
import { formatCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { rowsOf, type Sample, SIX, time } from '../ingest/logs.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);

/** Two seconds of rest, four of swings about z (peaks of 500 deg/s every half second), two of rest. */
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
const labels = {
  presses: [
    { button: 'power_button', downUs: 2_250_000, intent: 'stray' },
    { button: 'power_button', downUs: 2_503_000, intent: 'stray', by: 'person' },
    { button: 'power_button', downUs: 7_000_000, intent: 'wanted' },
  ],
  spans: [{ startUs: 2_000_000, endUs: 6_000_000, kind: 'spinning' }],
};
const labelled = folder.write('labels.json', JSON.stringify(labels));
/** The log has no noise, which the signal check takes for stuck channels. */
const evaluate = (...argv: string[]) => runCli(run, '--accept-unfit', ...argv);

describe('evaluate', () => {
  test('gives events, scores and a summary as one JSON document', async () => {
    const { code, json } = await evaluate(log, '--labels', labelled, '--json');
    expect(code).toBe(0);
    const { events, scores, summary, candidate, powerButton } = json();
    expect(Object.keys(scores.gestures)).toEqual(['thrust', 'hit', 'twist']);
    expect(candidate).toEqual(DEFAULT_CANDIDATE);
    expect(powerButton).toBe('power_button');
    expect(summary).toMatchObject({
      rateHz: 200,
      samples: 1600,
      swings: 8,
      events: { presses: 3, accepted: 2 },
    });
    expect(summary.peakSwingSpeedDps).toBeCloseTo(500, -1);
    // The plain momentary guard: refused at the peak, accepted at the reversal and after the stop.
    const presses = events.filter(({ kind }: { kind: string }) => kind === 'press');
    expect(presses.map(({ timeS }: { timeS: number }) => timeS)).toEqual([2.25, 2.5, 7]);
    expect(presses.map(({ reason }: { reason: string }) => reason.split(' ')[0])).toEqual([
      'refused',
      'accepted:',
      'accepted:',
    ]);
    expect(events.filter(({ kind }: { kind: string }) => kind === 'deflection')).toHaveLength(8);
    expect(scores.guard.strayLetThrough).toMatchObject({ k: 1, n: 2, byPerson: 2 });
    expect(scores.guard.wantedRefused).toMatchObject({ k: 0, n: 1 });
    expect(scores.deflection.once).toMatchObject({ k: 8, n: 8 });
    // a spin is labelled, a twist is not
    expect(scores.dial).toEqual({ steps: 0, outside: null, spinning: 0 });
  });

  test('tells of the dial where twists or spins are labelled, and of nothing else', async () => {
    const twists = [{ startUs: 100_000, endUs: 300_000, kind: 'twist' }];
    const withTwist = folder.write('twist.json', JSON.stringify({ ...labels, gestures: twists }));
    const dialLine = async (...argv: string[]) =>
      (await evaluate(log, ...argv)).out.split('\n').filter((line) => line.includes('dial steps'));
    expect(await dialLine()).toEqual([]);
    expect(await dialLine('--labels', labelled)).toEqual([
      '  dial steps: 0, no twist labelled, 0 in labelled spins',
    ]);
    expect(await dialLine('--labels', withTwist)).toEqual([
      '  dial steps: 0, 0 at no labelled twist, 0 in labelled spins',
    ]);
  });

  test('takes a candidate from a file', async () => {
    const { guard, ...rest } = DEFAULT_CANDIDATE;
    const held = folder.write('held.json', JSON.stringify({ ...rest, guard: { ...guard, holdMs: 300 } }));
    const { json } = await evaluate(log, '--labels', labelled, '--candidate', held, '--json');
    expect(json().scores.guard.strayLetThrough).toMatchObject({ k: 0, n: 2 });
  });

  test('without labels the presses are unlabelled', async () => {
    const { json } = await evaluate(log, '--json');
    expect(json().scores.guard).toMatchObject({
      unlabelled: 3,
      strayLetThrough: { k: 0, n: 0, interval: null },
    });
  });

  test('the mount turns the blade: swings about the blade axis are twists', async () => {
    const { json } = await evaluate(log, '--mount', 'tip=+z,side=+x', '--json');
    expect(json().summary.peakSwingSpeedDps).toBeLessThan(1);
    expect(json().summary.peakTwistRateDps).toBeCloseTo(500, 0);
  });

  test('the lever arm takes the swing out of the thrust', async () => {
    const peak = 500 * (Math.PI / 180);
    const plain = (await evaluate(log, '--json')).json().summary.peakThrustG;
    const arm = (await evaluate(log, '--lever-arm', '0.3', '--json')).json().summary.peakThrustG;
    expect(plain).toBeLessThan(0.1);
    // r w^2 / g at the peak; the smoothing and the tilt of a noiseless log move it by a few per cent at most.
    expect(arm / ((0.3 * peak * peak) / 9.80665)).toBeCloseTo(1, 1);
  });

  test('--channels writes a table with units in its header', async () => {
    const path = folder.path('channels.csv');
    expect((await evaluate(log, '--channels', path)).code).toBe(0);
    const lines = readFileSync(path, 'utf8').trimEnd().split('\n');
    expect(lines[0]).toBe(
      'time_s,swing_speed_dps,true_speed_dps,tip_speed_mps,thrust_g,twist_rate_dps,twist_deg,swing_twist_deg,impact_g,gravity_x_g,gravity_y_g,gravity_z_g,guard_closed,saturated',
    );
    expect(lines).toHaveLength(1601);
    const row = lines[1 + 460]!.split(',').map(Number);
    expect(row[0]).toBe(2.3);
    expect(row[1]).toBeGreaterThan(400);
    expect(row[12]).toBe(1);
  });

  test('text is for people', async () => {
    const { code, out } = await evaluate(log, '--labels', labelled);
    expect(code).toBe(0);
    expect(out).toContain('stray presses let through: 1 of 2');
    expect(out).toMatch(/2\.250 s\s+press\s+refused/);
  });

  test('--help', async () => {
    const { code, out } = await evaluate('--help');
    expect(code).toBe(0);
    for (const option of ['--candidate', '--labels', '--lever-arm', '--mount', '--channels', '--rate'])
      expect(out).toContain(option);
  });
});

const bad = (name: string, document: unknown) =>
  folder.write(name, typeof document === 'string' ? document : JSON.stringify(document));

test.each<[string, string[], string]>([
  [
    'a candidate field out of bounds',
    [
      '--candidate',
      bad('c1.json', { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, speedDps: -5 } }),
    ],
    'c1.json: guard.speedDps',
  ],
  [
    'a candidate field that is missing',
    ['--candidate', bad('c2.json', { guard: DEFAULT_CANDIDATE.guard })],
    'c2.json: ',
  ],
  [
    'an unknown candidate field',
    ['--candidate', bad('c3.json', { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, mood: 1 } })],
    'c3.json: guard.mood',
  ],
  ['no JSON', ['--candidate', bad('c4.json', '{oops')], 'c4.json: it holds no JSON'],
  [
    'an intent that is none',
    ['--labels', bad('l1.json', { presses: [{ ...labels.presses[0], intent: 'maybe' }] })],
    'l1.json: presses[0].intent must be wanted, stray or unsure',
  ],
  [
    'a span that ends before it starts',
    ['--labels', bad('l2.json', { spans: [{ startUs: 5, endUs: 4, kind: 'still' }] })],
    'l2.json: spans[0].endUs must come after startUs',
  ],
  ['labels that are no object', ['--labels', bad('l3.json', [])], 'l3.json: the document must be an object'],
])('data that cannot be used end with code 1, file and field: %s', async (_name, argv, why) => {
  const { code, out, err } = await evaluate(log, ...argv);
  expect([code, out]).toEqual([1, '']);
  expect(err).toContain(why);
});

test('a log that needs a statement ends with code 1 and says which', async () => {
  const counted = folder.write('counted.csv', `gx,gy,gz,ax,ay,az\n${rowsOf(take, SIX)}`);
  const { code, err } = await evaluate(counted);
  expect(code).toBe(1);
  expect(err).toContain('give the sample rate in Hz');
  expect((await evaluate(counted, '--rate', '200')).code).toBe(0);
});

test.each<[string, string[], string]>([
  ['no file', [], 'no file was given'],
  ['two takes', [log, log], 'the files are several takes'],
  ['one axis twice', [log, '--mount', 'tip=+x,side=-x'], '--mount wants two different axes'],
  ['an axis that is none', [log, '--mount', 'tip=up,side=+y'], '--mount wants tip=+x,side=+y'],
  ['a lever arm in words', [log, '--lever-arm', 'long'], '--lever-arm must be a number from -2 to 2 m'],
  ['no lever arm', [log, '--lever-arm', ''], '--lever-arm must be a number from -2 to 2 m, got ""'],
  [
    'too long a lever arm',
    [log, '--lever-arm', '2.01'],
    '--lever-arm must be a number from -2 to 2 m, got "2.01"',
  ],
  ['too short a blade', [log, '--blade-length', '0.05'], '--blade-length must be a number from 0.1 to 3 m'],
  ['too high a rate', [log, '--rate', '2e5'], '--rate must be a number of Hz from 0.1 to 100000, got "2e5"'],
  ['a log that is not there', ['nowhere.csv'], 'there is no file nowhere.csv: check its name and its folder'],
  ['a folder for a log', [folder.path('.')], 'cannot be read: it is a folder; name a file in it'],
  [
    'a candidate file that is not there',
    [log, '--candidate', 'nowhere.json'],
    'there is no file nowhere.json: check its name and its folder',
  ],
  ['a folder for a candidate', [log, '--candidate', folder.path('.')], 'it is a folder; name a file in it'],
  ['labels that are not there', [log, '--labels', 'nowhere.csv'], 'there is no file nowhere.csv'],
  [
    'channels into a folder that is not there',
    [log, '--channels', folder.path('no/such/out.csv')],
    'out.csv cannot be written: its folder is not there; check the path',
  ],
  ['a folder for channels', [log, '--channels', folder.path('.')], 'cannot be written: it is a folder'],
  ['a button without presses', [log, '--power-button', 'bell'], 'no press of "bell"'],
  ['an unknown option', [log, '--loud'], '--loud'],
])('misuse ends with code 2 and says why: %s', async (_name, argv, why) => {
  const { code, out, err } = await evaluate(...argv);
  expect([code, out]).toEqual([2, '']);
  expect(err).toContain(why);
  expect(err).toMatch(/\nTry: evaluate --help\n$/);
});

describe('with --json every failure is one JSON document on the standard output', () => {
  const spoilt = { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, holdMs: -1 } };
  const nothing = { file: null, line: null, column: null, path: null };

  test.each<[string, string[], number, Record<string, unknown>]>([
    ['an unknown option', [log, '--loud', '--json'], 2, { ...nothing, code: 'USAGE' }],
    ['no file', ['--json'], 2, { ...nothing, code: 'USAGE', message: 'no file was given' }],
    ['a number out of bounds', [log, '--json', '--rate', '0'], 2, { ...nothing, code: 'USAGE' }],
    [
      'a log that is not there',
      ['nowhere.csv', '--json'],
      2,
      { ...nothing, code: 'FILE', file: 'nowhere.csv' },
    ],
    [
      'a candidate file that is not there',
      [log, '--candidate', 'nowhere.json', '--json'],
      2,
      { ...nothing, code: 'FILE', file: 'nowhere.json' },
    ],
    [
      'a candidate out of bounds',
      [log, '--candidate', bad('c5.json', spoilt), '--json'],
      1,
      { ...nothing, code: 'CANDIDATE', file: folder.path('c5.json'), path: 'guard.holdMs' },
    ],
    [
      'labels that are none',
      [log, '--labels', bad('l4.json', { spans: 3 }), '--json'],
      1,
      { ...nothing, code: 'LABELS', file: folder.path('l4.json') },
    ],
    [
      'a log that is none',
      [folder.write('prose.txt', 'It was a dark night.\n'), '--json'],
      1,
      { ...nothing, code: 'LOG_FORMAT', file: 'prose.txt', line: 1 },
    ],
    [
      'a log that needs a statement',
      [folder.write('bare.csv', `gx,gy,gz,ax,ay,az\n${rowsOf(take, SIX)}`), '--json'],
      1,
      { ...nothing, code: 'NEEDS' },
    ],
  ])('%s', async (_name, argv, expected, document) => {
    const { code, err, json } = await evaluate(...argv);
    expect([code, err]).toEqual([expected, '']);
    expect(Object.keys(json())).toEqual(['error']);
    expect(json().error).toMatchObject(document);
    expect(json().error.message).toMatch(/\w/);
  });
});

test('a file named --json behind -- asks for no JSON', async () => {
  const { code, out, err } = await evaluate('--', '--json');
  expect([code, out]).toEqual([2, '']);
  expect(err).toContain('there is no file --json');
});

test('the length of the blade scales the tip’s speed', async () => {
  const path = folder.path('tip.csv');
  expect((await evaluate(log, '--channels', path, '--blade-length', '1')).code).toBe(0);
  const [head, ...rows] = readFileSync(path, 'utf8').trimEnd().split('\n');
  const at = head!.split(',').indexOf('tip_speed_mps');
  const [, speedDps, , tipMps] = rows[460]!.split(',').map(Number);
  expect(at).toBe(3);
  expect(tipMps! / speedDps!).toBeCloseTo(Math.PI / 180, 6);
});

test('the page’s file of a candidate is read', async () => {
  const held = { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, holdMs: 300 } };
  const exported = folder.write('candidate-a.json', formatCandidateFile(held));
  const { json } = await evaluate(log, '--candidate', exported, '--json');
  expect(json().candidate).toEqual(held);
});
