import { describe, test } from 'vitest';
import { accel, gyro, RATES, rowsOf, SIX, time } from './logs.ts';
import { type Dialect, expectSameMotion, iso, SI, sixCodes, take } from './sameMotion.ts';

/** What columns may hold: units, codes, clocks, any order, presses, and much that is no motion. */
const DIALECTS: readonly Dialect[] = [
  [
    'no clock, rate stated by the user',
    `ax,ay,az,gx,gy,gz\n${rowsOf(take, sixCodes(2048, 16.4))}`,
    { accelUnit: 'lsb:2048', gyroUnit: 'lsb:16.4', overrides: { rateHz: 100 } },
  ],
  [
    'packet counter and a stated rate',
    `# sample rate: 100 Hz\npacket,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(_, i) => 500 + i, ...SI])}`,
    { timeUnit: 'counter', accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'SI units in names with underscores',
    `time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps\n${rowsOf(take, [time(), ...SI])}`,
    { accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'no units anywhere, SI found from the data',
    `timestamp,accX,accY,accZ,gyroX,gyroY,gyroZ\n${rowsOf(take, [time(), ...SI])}`,
    { accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'mg and mdps',
    `t(ms),AccX(mg),AccY(mg),AccZ(mg),GyrX(mdps),GyrY(mdps),GyrZ(mdps)\n${rowsOf(take, [time(1e3, 0), accel(0, 1e3, 1), accel(1, 1e3, 1), accel(2, 1e3, 1), gyro(0, 1e3, 0), gyro(1, 1e3, 0), gyro(2, 1e3, 0)])}`,
    { accelUnit: 'mg', gyroUnit: 'mdeg/s' },
  ],
  [
    'columns in the order z, y, x, rates first',
    `t,gyro_z,gyro_y,gyro_x,acc_z,acc_y,acc_x\n${rowsOf(take, [time(), gyro(2), gyro(1), gyro(0), accel(2), accel(1), accel(0)])}`,
    {},
  ],
  [
    'axes numbered from 0',
    `time (us), gyro[0], gyro[1], gyro[2], acc[0], acc[1], acc[2]\n${rowsOf(take, [time(1e6, 0), ...SIX], ', ')}`,
    { timeUnit: 'us' },
  ],
  [
    'rotation rate and acceleration spelled out',
    `epoch,rotation rate x,rotation rate y,rotation rate z,acceleration x,acceleration y,acceleration z\n${rowsOf(take, [(s) => (1_778_347_800 + s.t).toFixed(3), ...RATES, accel(0), accel(1), accel(2)])}`,
    { timeUnit: 's', gyroUnit: 'rad/s' },
  ],
  [
    'epoch milliseconds',
    `timestamp,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(s) => Math.round(1_778_347_800_000 + s.t * 1e3), ...SI])}`,
    { timeUnit: 'ms', accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'epoch nanoseconds',
    `timestamp,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(s) => String(1_778_347_800_000_000_000n + BigInt(Math.round(s.t * 1e9))), ...SI])}`,
    { timeUnit: 'ns', accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'epoch in scientific notation',
    `timestamp,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(s) => `${(1.7783478e9 + s.t).toExponential(12)}`, ...SI])}`,
    { timeUnit: 's', accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'ISO 8601 to the microsecond with an offset',
    `time,gx,gy,gz,ax,ay,az\n${rowsOf(take, [(s) => `${iso(s, 6)}+02:00`, ...SIX])}`,
    { timeUnit: 'iso8601' },
  ],
  [
    'time of day across midnight',
    `clock,gx,gy,gz,ax,ay,az\n${rowsOf(take, [(s) => timeOfDay(86_396 + s.t), ...SIX])}`,
    { timeUnit: 'timeOfDay' },
  ],
  [
    'raw and calibrated side by side',
    `t,raw_gx,raw_gy,raw_gz,gx_cal,gy_cal,gz_cal,ax,ay,az\n${rowsOf(take, [time(), () => 3, (_, i) => i % 5, () => 7, ...SIX])}`,
    {},
  ],
  [
    'magnetometer, temperature, quaternion and empty optical columns beside',
    `t,mx,my,mz,temp,qw,qx,qy,qz,opt_x,gx,gy,gz,ax,ay,az\n${rowsOf(take, [time(), () => 21, () => -3, () => 40, () => 24.5, () => 1, () => 0, () => 0, () => 0, () => 'nan', ...SIX])}`,
    {},
  ],
  [
    'an optical column with gaps, a label column first',
    `part,t,ax,ay,az,gx,gy,gz,opt_qw\n${rowsOf(take, [(_, i) => (i < 450 ? 'still' : 'roll'), time(), accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2), (_, i) => (i % 3 ? 'nan' : 1)])}`,
    {},
  ],
  [
    'a button column of 0 and 1',
    `t,gx,gy,gz,ax,ay,az,power_button\n${rowsOf(take, [time(), ...SIX, (_, i) => (i % 300 > 100 && i % 300 < 120 ? 1 : 0)])}`,
    { presses: 3 },
  ],
  [
    'button edges as text',
    `t,gx,gy,gz,ax,ay,az,event\n${rowsOf(take, [time(), ...SIX, (_, i) => (i === 200 ? 'power down' : i === 230 ? 'power up' : '')])}`,
    { presses: 1 },
  ],
  [
    'an event column that rows leave out where it is empty',
    `t,gx,gy,gz,ax,ay,az,button\n${take.map((s, i) => [time(), ...SIX].map((read) => read(s)).join(',') + (i === 200 ? ',down' : i === 230 ? ',up' : '')).join('\n')}`,
    { presses: 1 },
  ],
];

describe('one motion, whatever the columns hold', () => {
  test.each(DIALECTS)('%s', (_name, text, expected) => expectSameMotion(text, expected));
});

function timeOfDay(seconds: number): string {
  const day = seconds % 86_400;
  const whole = Math.floor(day + 1e-9);
  const two = (value: number) => String(value).padStart(2, '0');
  const part = Math.abs(day - whole)
    .toFixed(3)
    .slice(1);
  return `${two(Math.floor(whole / 3600))}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}${part}`;
}
