import { execFileSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { afterAll, describe, expect, test } from 'vitest';
import { run as runEvaluate } from '../../server/cli/evaluate.ts';
import { run as runInspect } from '../../server/cli/inspect.ts';
import { rollingTake, rowsOf, SIX, time } from '../ingest/logs.ts';
import { makeFolder, runCli } from './runCli.ts';

const folder = makeFolder();
afterAll(folder.remove);
mkdirSync(folder.path('two words'));

const take = rollingTake(600, 100);
const [GX, GY, GZ, AX, AY, AZ] = SIX as [
  (typeof SIX)[number],
  (typeof SIX)[number],
  (typeof SIX)[number],
  (typeof SIX)[number],
  (typeof SIX)[number],
  (typeof SIX)[number],
];
/** Raw, so that no level tells which of the two is which: 800 codes a g, 10 codes a °/s. */
const codes = (column: typeof GX, by: number) => (s: (typeof take)[number]) =>
  Math.round(Number(column(s)) * by);
const accel = folder.write(
  'accel.csv',
  rowsOf(take, [time(), codes(AX, 800), codes(AY, 800), codes(AZ, 800)]),
);
const gyro = folder.write('gyro.csv', rowsOf(take, [time(), codes(GX, 10), codes(GY, 10), codes(GZ, 10)]));
const UNITS = ['--accel-unit', 'lsb:800', '--gyro-unit', 'lsb:10'];
const roles = (kind: string, file: string) =>
  ['X', 'Y', 'Z'].flatMap((axis, i) => ['--map', `${kind}${axis}=${file}:${i + 2}`]);
const inspect = (...argv: string[]) => runCli(runInspect, ...argv);

/** The options behind the files in the command that a message shows, as a shell takes them apart. */
function optionsIn(text: string): string[] {
  const command = /npm run -s \w+ -- (.*)$/m.exec(text)![1]!;
  return execFileSync('sh', ['-c', `printf '%s\\n' ${command}`], { encoding: 'utf8' })
    .trimEnd()
    .split('\n');
}

describe('roles for two files without headers', () => {
  test('stated file by file, they are one take', async () => {
    const { code, json } = await inspect(
      accel,
      gyro,
      ...UNITS,
      ...roles('accel', 'accel.csv'),
      ...roles('gyro', gyro),
      '--json',
    );
    expect(code).toBe(0);
    expect(json()).toMatchObject({ files: ['accel.csv', 'gyro.csv'], rows: 600, needs: [] });
    expect(json().peakRateDps).toBeCloseTo(71, 0);
    const gyroX = json().columns.find(({ role }: { role: string }) => role === 'gyroX');
    expect(gyroX).toMatchObject({ file: 1, index: 1 });
  });

  test('evaluate takes them too', async () => {
    const argv = [accel, gyro, ...UNITS, ...roles('accel', 'accel.csv'), ...roles('gyro', 'gyro.csv')];
    const { code, out } = await runCli(runEvaluate, ...argv, '--accept-unfit');
    expect(code).toBe(0);
    expect(out).toContain('600 samples');
  });

  test('without them the message shows a command that reads the two, also where a name has a blank', async () => {
    const other = folder.write(
      'two words/gyro.csv',
      rowsOf(take, [time(), codes(GX, 10), codes(GY, 10), codes(GZ, 10)]),
    );
    const asked = await inspect(accel, other, ...UNITS);
    expect(asked.code).toBe(1);
    expect(asked.out).toContain('if these files are one take, say which columns hold what, for example:');
    const argv = optionsIn(asked.out);
    expect(argv).toEqual([accel, other, ...UNITS, ...roles('accel', accel), ...roles('gyro', other)]);
    expect((await inspect(...argv)).code).toBe(0);
    const refused = await runCli(runEvaluate, accel, other, ...UNITS);
    expect(refused.code).toBe(2);
    expect(optionsIn(refused.err)).toEqual(argv);
  });

  test('one file without telling columns: the message shows a command that reads it', async () => {
    const whole = folder.write(
      'whole.csv',
      rowsOf(take, [
        time(),
        codes(GX, 10),
        codes(GY, 10),
        codes(GZ, 10),
        codes(AX, 800),
        codes(AY, 800),
        codes(AZ, 800),
      ])
        .split('\n')
        .slice(0, 90)
        .join('\n'),
    );
    const asked = await inspect(whole, ...UNITS);
    expect(asked.code).toBe(1);
    expect(asked.out).toContain('say which columns hold what, for example:');
    expect((await inspect(...optionsIn(asked.out))).code).toBe(0);
  });
});

describe('a column is named so that it is one', () => {
  const named = (name: string, head: string, columns: Parameters<typeof rowsOf>[1]) =>
    folder.write(name, `${head}\n${rowsOf(take, columns)}`);
  const acc = named('acc.csv', 't_s,ax_g,ay_g,az_g,mode', [time(), AX, AY, AZ, () => 0]);
  const rot = named('rot.csv', 't_s,gx_dps,gy_dps,gz_dps,mode', [
    time(),
    GX,
    GY,
    GZ,
    (_, i) => (i > 300 && i < 320 ? 1 : 0),
  ]);

  test.each<[string, string[], string]>([
    [
      'a column that is in neither',
      ['--map', 'button=push'],
      '--map: there is no column "push" (acc.csv: t_s, ax_g, ay_g, az_g, mode; rot.csv: t_s',
    ],
    [
      'a column that is in both',
      ['--map', 'button=mode'],
      `there is a column "mode" in 2 files: write ${acc}:mode or ${rot}:mode`,
    ],
    [
      'a number without its file',
      ['--map', 'button=5'],
      `there is a column "5" in 2 files: write ${acc}:5 or ${rot}:5`,
    ],
    ['a number beyond the file', ['--map', 'button=rot.csv:6'], 'there is no column "rot.csv:6"'],
    ['a column of another file', ['--map', 'gyroX=acc.csv:gx_dps'], 'there is no column "acc.csv:gx_dps"'],
    [
      'a sign of the clock',
      ['--reverse', 'rot.csv:t_s'],
      '--reverse: column "t_s" is time: it has no sign to reverse',
    ],
  ])('%s is refused', async (_claim, argv, why) => {
    const { code, err } = await inspect(acc, rot, ...argv);
    expect(code).toBe(2);
    expect(err).toContain(why);
  });

  test('two files of one name are told apart by their paths', async () => {
    const one = named('log.csv', 't_s,ax_g,ay_g,az_g,mode', [time(), AX, AY, AZ, () => 0]);
    const twin = named('two words/log.csv', 't_s,gx_dps,gy_dps,gz_dps', [time(), GX, GY, GZ]);
    expect((await inspect(one, twin, '--map', 'label=log.csv:5')).err).toContain(
      'several files are called so in "log.csv:5"',
    );
    const { code, json } = await inspect(one, twin, '--map', `label=${one}:5`, '--json');
    expect(code).toBe(0);
    expect(json().columns[4]).toMatchObject({ name: 'mode', role: 'label' });
  });

  test('the file before the column is taken for a single file as well', async () => {
    const { json } = await inspect(rot, '--map', 'button=rot.csv:mode', '--json');
    expect(json().columns[4]).toMatchObject({ name: 'mode', role: 'button' });
  });
});

describe('--reverse', () => {
  const plain = `t_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g\n${rowsOf(take, [time(), ...SIX])}`;
  const turned = (s: (typeof take)[number]) => -Number(GX(s));
  const mirrored = `t_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g\n${rowsOf(take, [time(), turned, GY, GZ, AX, AY, AZ])}`;
  const right = folder.write('right.csv', plain);
  const wrong = folder.write('wrong.csv', mirrored);

  test('makes of a log whose x axis counts the wrong way the one whose does not, and the report names it', async () => {
    const channels = (name: string) => ['--accept-unfit', '--channels', folder.path(name)];
    await runCli(runEvaluate, right, ...channels('a.csv'));
    await runCli(runEvaluate, wrong, '--reverse', 'gx_dps', ...channels('b.csv'));
    await runCli(runEvaluate, wrong, ...channels('c.csv'));
    const read = (name: string) => execFileSync('cat', [folder.path(name)], { encoding: 'utf8' });
    expect(read('b.csv')).toBe(read('a.csv'));
    expect(read('c.csv')).not.toBe(read('a.csv'));
    const { out } = await inspect(wrong, '--reverse', '2');
    expect(out).toContain('note: the sign of column "gx_dps" is reversed, stated by you');
  });
});
