import { describe, expect, test } from 'vitest';
import type { Overrides } from '../../server/ingest/ground/types.ts';
import { previewAndRead, previewLog } from '../../server/ingest/preview/preview.ts';
import { readTake } from '../../server/ingest/take/readTake.ts';
import { G, gyro, rollingTake, rowsOf, type Sample, textSource, time } from './logs.ts';

type Vector = readonly [number, number, number];

/** A sample with its force taken apart into gravity, as another program follows it, and the rest. */
interface Parted extends Sample {
  readonly gravity: Vector;
  readonly user: Vector;
}

const HEADER =
  'time,rotationRateX,rotationRateY,rotationRateZ,userAccelerationX,userAccelerationY,userAccelerationZ,gravityX,gravityY,gravityZ';

/**
 * The invented rolling take. Gravity follows the force late by `lagS` (0: at once); a shake along x from 4 s to 4.5 s
 * is the user's.
 * @param sign  -1 where gravity is logged as pointing down
 */
function parted(lagS: number, sign: 1 | -1): Parted[] {
  const follow = lagS === 0 ? 1 : 1 - Math.exp(-0.01 / lagS);
  let late: Vector | null = null;
  return rollingTake(900, 100).map((sample) => {
    const shake = sample.t >= 4 && sample.t < 4.5 ? 0.5 * Math.sin(40 * sample.t) : 0;
    const was: Vector = late ?? sample.accel;
    late = [0, 1, 2].map((i) => was[i]! + follow * (sample.accel[i]! - was[i]!)) as unknown as Vector;
    const force: Vector = [sample.accel[0] + shake, sample.accel[1], sample.accel[2]];
    const estimate: Vector = late;
    const user = force.map((f, i) => f - estimate[i]!) as unknown as Vector;
    return { ...sample, accel: force, user, gravity: estimate.map((g) => sign * g) as unknown as Vector };
  });
}

const part =
  (key: 'user' | 'gravity', axis: 0 | 1 | 2, scale = 1) =>
  (s: Sample) =>
    ((s as Parted)[key][axis] * scale).toFixed(6);
const columns = (scale = 1) => [
  ...([0, 1, 2] as const).map((axis) => part('user', axis, scale)),
  ...([0, 1, 2] as const).map((axis) => part('gravity', axis, scale)),
];
const RATES = [gyro(0), gyro(1), gyro(2)];
const log = (take: readonly Parted[], header = HEADER, scale = 1) =>
  `${header}\n${rowsOf(take, [time(), ...RATES, ...columns(scale)])}`;

async function read(text: string, overrides: Overrides = {}) {
  const source = textSource(text, 'walk.csv');
  const { preview, take: previewed } = await previewAndRead([source], overrides, {});
  const take = await readTake([source], preview.mapping, {});
  // What was added in the preview and then taken off again differs in the last bits.
  expect(previewed ?? take).toEqual(take);
  return { preview, take };
}

const roleOf = (preview: Awaited<ReturnType<typeof read>>['preview'], name: string) =>
  preview.mapping.columns.find((column) => column.name === name)!;

describe('gravity and user acceleration in columns of their own', () => {
  test.each([
    ['in g', HEADER, 1, 'g'],
    [
      'in m/s², short names',
      't,gx,gy,gz,lin_acc_x (m/s²),lin_acc_y (m/s²),lin_acc_z (m/s²),grav_x (m/s²),grav_y (m/s²),grav_z (m/s²)',
      G,
      'm/s2',
    ],
  ])('make up the accelerometer, %s', async (_claim, header, scale, unit) => {
    const samples = parted(0, 1);
    const { preview, take } = await read(log(samples, header, scale));
    const roles = preview.mapping.columns.map(({ role }) => role);
    expect(roles.slice(4)).toEqual(['accelX', 'accelY', 'accelZ', 'gravityX', 'gravityY', 'gravityZ']);
    expect(preview.mapping.columns[4]?.unit).toBe(unit);
    expect(preview.mapping.columns[7]).toMatchObject({ unit: 'added' });
    expect(preview.mapping.columns[7]?.reason).toMatch(/^its name says gravity: added to the acceleration/);
    for (const i of [0, 77, 430, 899]) {
      expect(take.log.accelXG[i]!).toBeCloseTo(samples[i]!.accel[0], 4);
      expect(take.log.accelZG[i]!).toBeCloseTo(samples[i]!.accel[2], 4);
    }
    expect(take.report.warnings.join('\n')).not.toContain('no gravity');
    expect(take.report.peakAccelG).toBeCloseTo(preview.report!.peakAccelG, 12);
  });

  test.each([
    ['added', 1],
    ['subtracted', -1],
  ] as const)('of a late estimate, the turning tells that it is %s', async (unit, sign) => {
    const samples = parted(0.4, sign);
    const { preview, take } = await read(log(samples));
    const gravity = roleOf(preview, 'gravityY');
    expect(gravity.unit).toBe(unit);
    expect(gravity.reason).toContain('agree');
    for (const i of [150, 300, 430, 700]) expect(take.log.accelYG[i]!).toBeCloseTo(samples[i]!.accel[1], 4);
  });

  test('the user’s word on the sign stands', async () => {
    const roles = ([7, 8, 9] as const).map((index, axis) => ({
      file: 0,
      index,
      role: (['gravityX', 'gravityY', 'gravityZ'] as const)[axis]!,
      unit: 'subtracted',
    }));
    const samples = parted(0.4, 1);
    const { preview, take } = await read(log(samples), { roles });
    expect(roleOf(preview, 'gravityX')).toMatchObject({ unit: 'subtracted', reason: 'stated by you' });
    const { user, gravity } = samples[300]!;
    expect(take.log.accelYG[300]!).toBeCloseTo(user[1] - gravity[1], 4);
  });

  test('an acceleration that holds gravity by itself is left as it is', async () => {
    const samples = parted(0, 1).map((s) => ({ ...s, user: s.accel }));
    const { preview, take } = await read(log(samples));
    expect(roleOf(preview, 'gravityX').role).toBe('ignored');
    expect(take.log.accelZG[10]!).toBeCloseTo(samples[10]!.accel[2], 4);
  });

  test('where the sensors take turns, row by row, gravity goes with the acceleration', async () => {
    const samples = parted(0, 1);
    const empty = () => '';
    const rows = samples
      .map((s, i) =>
        rowsOf(
          [s],
          i % 2 === 0
            ? [time(), ...RATES, ...Array.from({ length: 6 }, () => empty)]
            : [time(), empty, empty, empty, ...columns()],
        ),
      )
      .join('');
    const { take } = await read(`${HEADER}\n${rows}`);
    expect(take.report.warnings.join('\n')).toContain('in rows of their own');
    expect(Math.hypot(take.log.accelXG[20]!, take.log.accelYG[20]!, take.log.accelZG[20]!)).toBeCloseTo(1, 1);
  });
});

describe('gravity, rotation and what is linear, told by the values where the names mislead', () => {
  const angle = (axis: 0 | 1 | 2) => (_: Sample, i: number) => (60 + 25 * Math.sin(i / 90 + axis)).toFixed(3);
  const halfRoll = ({ accel: [, y, z] }: Sample) => Math.atan2(y, z) / 2;
  const turned = [
    (s: Sample) => Math.sin(halfRoll(s)).toFixed(5),
    () => '0',
    () => '0',
    (s: Sample) => Math.cos(halfRoll(s)).toFixed(5),
  ];
  const look = async (header: string, cells: readonly ((s: Sample, i: number) => string)[]) => {
    const samples = parted(0, 1);
    const { mapping, report } = await previewLog(
      [textSource(`time_s,${header}\n${rowsOf(samples, [time(), ...cells])}`)],
      {},
      {},
    );
    const columns = mapping.columns.slice(1);
    return { roles: columns.map(({ role }) => role).join(' '), columns, report };
  };
  const [user, gravity] = [columns(G).slice(0, 3), columns(G).slice(3)];
  const ACCEL = 'accelX accelY accelZ';
  const GRAVITY = 'gravityX gravityY gravityZ';
  const RATE = 'gyroX gyroY gyroZ';
  const NONE = 'ignored ignored ignored';

  test.each([
    ['gx is gravity, rot a rate', 'lin_x,lin_y,lin_z,gx,gy,gz,rot_x,rot_y,rot_z'],
    ['run into one word', 'linx,liny,linz,gx,gy,gz,rotationx,rotationy,rotationz'],
    ['capitals', 'linearX,linearY,linearZ,gX,gY,gZ,rotX,rotY,rotZ'],
    ['names that tell nothing', 'linear_x,linear_y,linear_z,v1,v2,v3,rotation_x,rotation_y,rotation_z'],
  ])('%s', async (_name, header) => {
    const { roles, columns: read, report } = await look(header, [...user, ...gravity, ...RATES]);
    expect(roles).toBe(`${ACCEL} ${GRAVITY} ${RATE}`);
    expect(read[3]!.reason).toMatch(/^its magnitude stays at 9\.8\d* while its direction turns/);
    expect(read[6]!.reason).toMatch(/^its name says rotation, its values angular rate, x/);
    expect(report!.peakRateDps).toBeCloseTo(71.2, 0);
    expect(report!.warnings.join()).not.toContain('no gravity');
  });

  test('gravity in g, in a log whose acceleration holds it already, is left alone', async () => {
    const held = [0, 1, 2].map((i) => (s: Sample) => s.accel[i]!.toFixed(5));
    const inG = columns().slice(3);
    const { roles } = await look('ax,ay,az,gx,gy,gz,rot_x,rot_y,rot_z', [...held, ...inG, ...RATES]);
    expect(roles).toBe(`${ACCEL} ${NONE} ${RATE}`);
  });

  test.each([
    ['angles', 'rot_x,rot_y,rot_z', [angle(0), angle(1), angle(2)]],
    ['a quaternion', 'rot_x,rot_y,rot_z,rot_w', turned],
  ])('rotation that is %s is no rate', async (_name, header, cells) => {
    const { roles } = await look(`ax,ay,az,${header}`, [...gravity, ...cells]);
    expect(roles).not.toContain('gyro');
  });

  test('rates by name are taken before rotation', async () => {
    const { roles } = await look('rot_x,rot_y,rot_z,gx,gy,gz,ax,ay,az', [...RATES, ...RATES, ...gravity]);
    expect(roles).toBe(`${NONE} ${RATE} ${ACCEL}`);
  });
});

test('user acceleration alone: what cannot be had is said, and what can', async () => {
  const rows = rowsOf(parted(0, 1), [time(), ...RATES, ...columns().slice(0, 3)]);
  const { take } = await read(`${HEADER.split(',').slice(0, 7).join(',')}\n${rows}`);
  const said = take.report.warnings.join('\n');
  expect(said).toContain('orientation, thrusts and stabs cannot be had');
  expect(said).toContain('swing speed, the guard and deflections can');
});

test('gravity in another file than the acceleration is asked about', async () => {
  const samples = parted(0, 1);
  const main = `${HEADER.split(',').slice(0, 7).join(',')}\n${rowsOf(samples, [time(), ...RATES, ...columns().slice(0, 3)])}`;
  const other = `time,gravityX\n${rowsOf(samples, [time(), part('gravity', 0)])}`;
  const roles = [{ file: 1, index: 1, role: 'gravityX' as const }];
  const sources = [textSource(main, 'a.csv'), textSource(other, 'b.csv')];
  const { needs } = await previewLog(sources, { roles }, {});
  expect(needs.join()).toContain('the acceleration stands in another file');
});
