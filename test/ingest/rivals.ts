import { type SwungSample, swingTake, turned } from './swingTake.ts';

/** A log with a rival that tempts, and what must come of it. */
export interface RivalCase {
  /** What kind of temptation it is. */
  readonly kind: string;
  readonly name: string;
  readonly text: string;
  /** `role=column[unit]` of what is used, in the order of the columns; null where a question must be asked. */
  readonly used: string | null;
  /** What must be asked, or be said in a warning; null where nothing must. */
  readonly says: RegExp | null;
  /** Of the whole log: °/s and g. */
  readonly peaks?: readonly [number, number];
}

type Cell = (s: SwungSample, i: number) => string | number;
type Key = 'rate' | 'force' | 'gravity' | 'field';

const G = 9.80665;
const RAD = Math.PI / 180;
const take = swingTake(100);

const vector = (key: Key, scale = 1, digits = 4, shift: readonly number[] = [0, 0, 0]): Cell[] =>
  [0, 1, 2].map((axis) => (s) => (s[key][axis]! * scale + shift[axis]!).toFixed(digits));
const coded = (key: Key, scale: number): Cell[] =>
  [0, 1, 2].map((axis) => (s) => Math.round(s[key][axis]! * scale));
const estimate = (key: Key, scale: number): Cell[] =>
  [0, 1, 2].map((axis) => (s) => (turned(s[key], 1.1)[axis]! * scale * 0.9).toFixed(4));
const linear = (scale: number): Cell[] =>
  [0, 1, 2].map((axis) => (s) => ((s.force[axis]! - s.gravity[axis]!) * scale).toFixed(5));
const time: Cell = (s) => s.t.toFixed(3);
const ms: Cell = (s) => Math.round(s.t * 1000);
const ticks: Cell = (s) => 7_000_000 + Math.round(s.t * 32_768);
const button: Cell = (s) => Number(s.t > 6 && s.t < 6.3);

const rows = (cells: readonly Cell[], delimiter = ',', samples: readonly SwungSample[] = take) =>
  samples.map((s, i) => `${cells.map((cell) => cell(s, i)).join(delimiter)}\n`).join('');
const peakOf = (key: Key) => Math.max(...take.map((s) => Math.hypot(...s[key])));
const PEAKS = [peakOf('rate'), peakOf('force')] as const;

const roles = (kind: 'accel' | 'gyro' | 'gravity', from: number, unit: string) =>
  ['X', 'Y', 'Z'].map((axis, i) => `${kind}${axis}=${from + i}[${unit}]`).join(' ');
const used = (...parts: readonly string[]) => parts.join(' ');

const reads = (
  kind: string,
  name: string,
  text: string,
  how: string,
  says: RegExp | null = null,
): RivalCase => ({ kind, name, text, used: how, says, peaks: PEAKS });
const asks = (kind: string, name: string, text: string, says: RegExp): RivalCase => ({
  kind,
  name,
  text,
  used: null,
  says,
});

const GRF = [time, ...vector('force'), ...vector('rate', 1, 3)];
const FIELD_BEHIND = rows([...GRF, ...vector('field')]);
const GROUPED = used('time=0[s]', roles('accel', 1, 'g'), roles('gyro', 4, 'deg/s'));

const MAGNETOMETER: readonly RivalCase[] = [
  reads(
    'a magnetometer',
    'a group row with a delimiter at its end',
    `Time,Accelerometer,,,Gyroscope,,,Magnetometer,,,\ns,X,Y,Z,X,Y,Z,X,Y,Z\n${FIELD_BEHIND}`,
    GROUPED,
  ),
  reads(
    'a magnetometer',
    'a group row that ends with its last name',
    `Time,Accelerometer,,,Gyroscope,,,Magnetometer\n,X,Y,Z,X,Y,Z,X,Y,Z\n${FIELD_BEHIND}`,
    GROUPED,
  ),
  reads(
    'a magnetometer',
    'groups without the empty cells between them',
    `Accelerometer,Gyroscope,Magnetometer\ntime,x,y,z,x,y,z,x,y,z\n${FIELD_BEHIND}`,
    GROUPED,
  ),
  reads(
    'a magnetometer',
    'the field in front, and a button that no group owns',
    `,Magnetometer,,,Accelerometer,,,Gyroscope,,,\ntime,x,y,z,x,y,z,x,y,z,button\n${rows([time, ...vector('field'), ...vector('force'), ...vector('rate', 1, 3), button])}`,
    used('time=0[s]', roles('accel', 4, 'g'), roles('gyro', 7, 'deg/s'), 'button=10[level]'),
  ),
  reads(
    'a magnetometer',
    'no header at all, the field in front',
    rows([time, ...vector('field'), ...vector('rate', 1, 3), ...vector('force')]),
    used('time=0[s]', roles('gyro', 4, 'deg/s'), roles('accel', 7, 'g')),
  ),
  reads(
    'a magnetometer',
    'no header at all, a field with an offset behind',
    rows([
      time,
      ...vector('force', G),
      ...vector('rate', RAD, 5),
      ...vector('field', 1, 4, [0.2, -0.1, 0.15]),
    ]),
    used('time=0[s]', roles('accel', 1, 'm/s2'), roles('gyro', 4, 'rad/s')),
  ),
];

const TWINS: readonly RivalCase[] = [
  reads(
    'twins',
    'raw ticks beside a clock with a unit',
    `time RAW,time CAL (ms),ax (g),ay (g),az (g),gx (dps),gy (dps),gz (dps)\n${rows([ticks, ms, ...vector('force'), ...vector('rate', 1, 3)])}`,
    used('time=1[ms]', roles('accel', 2, 'g'), roles('gyro', 5, 'deg/s')),
  ),
  reads(
    'twins',
    'the unit of the clock in a row of units, ticks behind it',
    `stamp,stamp_raw,acc_x,acc_y,acc_z,gyr_x,gyr_y,gyr_z\ns,,g,g,g,dps,dps,dps\n${rows([time, ticks, ...vector('force'), ...vector('rate', 1, 3)])}`,
    used('time=0[s]', roles('accel', 2, 'g'), roles('gyro', 5, 'deg/s')),
  ),
  reads(
    'twins',
    'raw codes in front of calibrated values',
    `t (s),raw ax,raw ay,raw az,raw gx,raw gy,raw gz,cal ax (g),cal ay (g),cal az (g),cal gx (dps),cal gy (dps),cal gz (dps)\n${rows([time, ...coded('force', 2048), ...coded('rate', 16.4), ...vector('force'), ...vector('rate', 1, 3)])}`,
    used('time=0[s]', roles('accel', 7, 'g'), roles('gyro', 10, 'deg/s')),
  ),
  reads(
    'twins',
    'numbered axes, raw in the sensor’s own unit beside estimates in another frame',
    `Time (s),raw_Acc1 (g),raw_Acc2 (g),raw_Acc3 (g),raw_Gyr1 (dps),raw_Gyr2 (dps),raw_Gyr3 (dps),est_Acc1 (m/s2),est_Acc2 (m/s2),est_Acc3 (m/s2),est_Gyr1 (rad/s),est_Gyr2 (rad/s),est_Gyr3 (rad/s)\n${rows([...GRF, ...estimate('force', G), ...estimate('rate', RAD)])}`,
    GROUPED,
  ),
  reads(
    'twins',
    'estimates of a filter in front of the sensor’s own',
    `Time (s),kf_ax (g),kf_ay (g),kf_az (g),kf_gx (dps),kf_gy (dps),kf_gz (dps),sensor_ax (m/s2),sensor_ay (m/s2),sensor_az (m/s2),sensor_gx (rad/s),sensor_gy (rad/s),sensor_gz (rad/s)\n${rows([time, ...estimate('force', 1), ...estimate('rate', 1), ...vector('force', G), ...vector('rate', RAD, 5)])}`,
    used('time=0[s]', roles('accel', 7, 'm/s2'), roles('gyro', 10, 'rad/s')),
  ),
  asks(
    'twins',
    'raw ticks alone, of no known length',
    `clock_raw,ax (g),ay (g),az (g),gx (dps),gy (dps),gz (dps)\n${rows([ticks, ...vector('force'), ...vector('rate', 1, 3)])}`,
    /column "clock_raw" is the time, in no known unit/,
  ),
];

const GRAVITY: readonly RivalCase[] = [
  reads(
    'gravity',
    'the force itself in m/s², its parts beside it in g',
    `time (s),ax (m/s2),ay (m/s2),az (m/s2),gx (dps),gy (dps),gz (dps),lin_x (g),lin_y (g),lin_z (g),gravity_x (g),gravity_y (g),gravity_z (g)\n${rows([time, ...vector('force', G), ...vector('rate', 1, 3), ...linear(1), ...vector('gravity')])}`,
    used('time=0[s]', roles('accel', 1, 'm/s2'), roles('gyro', 4, 'deg/s')),
  ),
  reads(
    'gravity',
    'the force in g and gravity in m/s², no unit stated',
    `time,ax,ay,az,gx,gy,gz,gravity_x,gravity_y,gravity_z\n${rows([...GRF, ...vector('gravity', G)])}`,
    GROUPED,
  ),
  reads(
    'gravity',
    'what lacks gravity in m/s², gravity in g: added in one unit',
    `time (s),lin_acc_x (m/s2),lin_acc_y (m/s2),lin_acc_z (m/s2),gx (dps),gy (dps),gz (dps),gravity_x (g),gravity_y (g),gravity_z (g)\n${rows([time, ...linear(G), ...vector('rate', 1, 3), ...vector('gravity')])}`,
    used('time=0[s]', roles('accel', 1, 'm/s2'), roles('gyro', 4, 'deg/s'), roles('gravity', 7, 'added:g')),
  ),
  reads(
    'gravity',
    'the same the other way round, units in a row of their own',
    `time,userAcceleration.x,userAcceleration.y,userAcceleration.z,gyro.x,gyro.y,gyro.z,gravity.x,gravity.y,gravity.z\ns,g,g,g,rad/s,rad/s,rad/s,m/s2,m/s2,m/s2\n${rows([time, ...linear(1), ...vector('rate', RAD, 5), ...vector('gravity', G)])}`,
    used('time=0[s]', roles('accel', 1, 'g'), roles('gyro', 4, 'rad/s'), roles('gravity', 7, 'added:m/s2')),
  ),
];

const biased = (rest: number, scale: number): Cell[] => vector('force', rest * scale, 5);
const RATED = vector('rate', 1, 3);
const BIASED: readonly RivalCase[] = [
  ...[0.62, 0.75, 1.25, 1.45].map(
    (rest): RivalCase => ({
      kind: 'a rest that is not 1 g',
      name: `${rest} g, no unit stated`,
      text: `time,ax,ay,az,gx,gy,gz\n${rows([time, ...biased(rest, 1), ...RATED])}`,
      used: GROUPED,
      says: /acceleration is taken as g, though at rest it reads/,
      peaks: [PEAKS[0], rest * PEAKS[1]],
    }),
  ),
  {
    kind: 'a rest that is not 1 g',
    name: '0.7 g in m/s², no unit stated',
    text: `time,ax,ay,az,gx,gy,gz\n${rows([time, ...biased(0.7, G), ...vector('rate', RAD, 5)])}`,
    used: used('time=0[s]', roles('accel', 1, 'm/s2'), roles('gyro', 4, 'rad/s')),
    says: /acceleration is taken as m\/s²/,
    peaks: [PEAKS[0], 0.7 * PEAKS[1]],
  },
  asks(
    'a rest that is not 1 g',
    'a rest that fits neither gravity in g nor none in m/s²',
    `time,ax,ay,az,gx,gy,gz\n${rows([time, ...biased(0.5, 1), ...RATED])}`,
    /the unit of acceleration is unknown/,
  ),
];

const UNTOLD_CODES = [time, ...coded('force', 2048), ...coded('rate', 16.4)];
const NAMES: readonly RivalCase[] = [
  ...['ch1,ch2,ch3,ch4,ch5,ch6', 'p0,p1,p2,p3,p4,p5', 'S_a,S_b,S_c,S_d,S_e,S_f'].map((names) =>
    asks(
      'names without a motion word',
      `${names.slice(0, 7)}… above raw codes`,
      `time,${names}\n${rows(UNTOLD_CODES)}`,
      /it is not clear which columns hold acceleration: .*no name says so.*\n.*angular rate/s,
    ),
  ),
  {
    kind: 'names without a motion word',
    name: 'values in units that gravity and the swings prove are read, and said to be a guess',
    text: `time,c1,c2,c3,c4,c5,c6\n${rows(GRF)}`,
    used: GROUPED,
    says: /no name says which columns hold acceleration .* that is a guess from their values/,
    peaks: PEAKS,
  },
  asks(
    'names without a motion word',
    'two fields that both turn as gravity does, of length 1, in a slow turn',
    rows(
      [time, ...vector('gravity'), ...vector('field'), ...vector('rate', 0.02, 5)],
      ',',
      take.map((s) => ({ ...s, t: s.t * 50 })),
    ),
    /it is not clear which columns hold acceleration/,
  ),
];

const UNITS: readonly RivalCase[] = [
  asks(
    'a unit that cannot be',
    '°/s that would reach 45,346',
    `time (s),ax (g),ay (g),az (g),gx (dps),gy (dps),gz (dps)\n${rows([time, ...vector('force'), ...vector('rate', 45_346 / PEAKS[0], 2)], ',', take.slice(0, 330))}`,
    /the unit of angular rate is unknown \(the column name says °\/s, but the rates would reach/,
  ),
  {
    kind: 'a unit that cannot be',
    name: 'rad/s that are °/s',
    text: `time (s),ax (g),ay (g),az (g),gx (rad/s),gy (rad/s),gz (rad/s)\n${rows(GRF)}`,
    used: GROUPED,
    says: /the column name says rad\/s, but .*: taken as °\/s/,
    peaks: PEAKS,
  },
  asks(
    'codes without a scale',
    'a scale between two parts, which gravity cannot tell apart',
    `time (s),ax,ay,az,gx,gy,gz\n${rows([time, ...coded('force', 4096), ...coded('rate', 15.3)])}`,
    /the unit of angular rate is unknown \(gravity fits .* and .* about as well/,
  ),
  reads(
    'codes without a scale',
    'a scale that gravity tells',
    `time (s),ax,ay,az,gx,gy,gz\n${rows([time, ...coded('force', 4096), ...coded('rate', 65.5)])}`,
    used('time=0[s]', roles('accel', 1, 'lsb:4096'), roles('gyro', 4, 'lsb:65.5')),
  ),
];

const AT_REST = take.slice(0, 150);
const CODES_AT_REST = rows([time, ...coded('force', 8192), ...coded('rate', 32.8)], ',', AT_REST);
const NOTED = used('time=0[s]', roles('accel', 1, 'lsb:8192'), roles('gyro', 4, 'lsb:32.8'));
const NOTES: readonly RivalCase[] = [
  '# gyroscope ±1000 deg/s full scale',
  '# setup: GYRO_FS=1000, ACC_FS=4',
  '# gyro sensitivity 32.8 LSB/dps',
  '# accel ±4 g, gyro range ±1000 dps',
].map((note) => ({
  kind: 'what comments state',
  name: note,
  text: `${note}\ntime (s),ax,ay,az,gx,gy,gz\n${CODES_AT_REST}`,
  used: NOTED,
  says: null,
}));
const UNSTATED: RivalCase = {
  kind: 'what comments state',
  name: 'nothing: the range is a guess that says so',
  text: `time (s),ax,ay,az,gx,gy,gz\n${CODES_AT_REST}`,
  used: NOTED.replaceAll('32.8', '65.5'),
  says: /the scale of the rates \(65\.5 codes per °\/s\) is a guess/,
};

/** Every log with a rival, by the kind of temptation. */
export const RIVALS: readonly RivalCase[] = [
  ...MAGNETOMETER,
  ...TWINS,
  ...GRAVITY,
  ...BIASED,
  ...NAMES,
  ...UNITS,
  ...NOTES,
  UNSTATED,
];
