import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { accel, FORCES, gyro, RATES, rollingTake, rowsOf, type Sample, textSource, time } from './logs.ts';

const take = rollingTake(900, 100);
const second = (s: Sample) => Math.floor(s.t + 1e-9);
const ns = (s: Sample) => String(1_778_347_800_000_000_000n + BigInt(Math.round(s.t * 1e9)));
const milli = (s: Sample) => String(Math.round((s.t * 1000) % 1000)).padStart(3, '0');
const fixed = (text: string | number) => () => text;

/** What is taken for what, in the order of the columns. */
const LAYOUTS: readonly (readonly [name: string, text: string, used: string])[] = [
  [
    'dotted names with covariances, a % header, epoch nanoseconds twice',
    `%time,head.seq,head.stamp,head.frame,orientation.x,orientation.y,orientation.z,orientation.w,angular_velocity.x,angular_velocity.y,angular_velocity.z,angular_velocity_covariance0,angular_velocity_covariance1,angular_velocity_covariance2,linear_acceleration.x,linear_acceleration.y,linear_acceleration.z\n${rowsOf(take, [ns, (_, i) => i, ns, fixed('imu'), fixed(0), fixed(0), fixed(0), fixed(1), ...RATES, fixed(0.01), fixed(0), fixed(0), ...FORCES])}`,
    'time=time[ns] gyroX=angular_velocity.x[rad/s] gyroY=angular_velocity.y[rad/s] gyroZ=angular_velocity.z[rad/s] accelX=linear_acceleration.x[m/s2] accelY=linear_acceleration.y[m/s2] accelZ=linear_acceleration.z[m/s2]',
  ],
  [
    'letters for the kind, frames in between, units as powers',
    `#timestamp [ns],w_AB_B_x [rad s^-1],w_AB_B_y [rad s^-1],w_AB_B_z [rad s^-1],a_AB_B_x [m s^-2],a_AB_B_y [m s^-2],a_AB_B_z [m s^-2]\n${rowsOf(take, [ns, ...RATES, ...FORCES])}`,
    'time=timestamp [ns][ns] gyroX=w_AB_B_x [rad s^-1][rad/s] gyroY=w_AB_B_y [rad s^-1][rad/s] gyroZ=w_AB_B_z [rad s^-1][rad/s] accelX=a_AB_B_x [m s^-2][m/s2] accelY=a_AB_B_y [m s^-2][m/s2] accelZ=a_AB_B_z [m s^-2][m/s2]',
  ],
  [
    'axes numbered behind the unit, other clocks beside',
    `timestamp,gyro_rad[0],gyro_rad[1],gyro_rad[2],gyro_integral_dt,accelerometer_timestamp_relative,accelerometer_m_s2[0],accelerometer_m_s2[1],accelerometer_m_s2[2]\n${rowsOf(take, [time(1e6, 0), ...RATES, fixed(4000), fixed(0), ...FORCES])}`,
    'time=timestamp[us] gyroX=gyro_rad[0][rad/s] gyroY=gyro_rad[1][rad/s] gyroZ=gyro_rad[2][rad/s] accelX=accelerometer_m_s2[0][m/s2] accelY=accelerometer_m_s2[1][m/s2] accelZ=accelerometer_m_s2[2][m/s2]',
  ],
  [
    'a 16-bit packet counter, a clock in an odd unit, the rate in a comment',
    `// Update Rate: 100.0Hz\nPacketCounter,TimeFine,Acc_X,Acc_Y,Acc_Z,Gyr_X,Gyr_Y,Gyr_Z,Mag_X,Mag_Y,Mag_Z,\n${rowsOf(take, [(_, i) => (65_000 + i) % 65_536, (_, i) => 3000 + i * 100, ...FORCES, ...RATES, fixed(1), fixed(2), fixed(3), fixed('')])}`,
    'time=PacketCounter[counter] accelX=Acc_X[m/s2] accelY=Acc_Y[m/s2] accelZ=Acc_Z[m/s2] gyroX=Gyr_X[rad/s] gyroY=Gyr_Y[rad/s] gyroZ=Gyr_Z[rad/s]',
  ],
  [
    'names in Chinese, a date without leading zeros',
    `设备\t片上时间()\t加速度X(g)\t加速度Y(g)\t加速度Z(g)\t角速度X(°/s)\t角速度Y(°/s)\t角速度Z(°/s)\t角度X(°)\t角度Y(°)\t角度Z(°)\n${rowsOf(take, [fixed('A(1)'), (s) => `2026-5-1 12:00:0${second(s)}.${milli(s)}`, accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2), fixed(1), fixed(2), fixed(3)], '\t')}`,
    'time=片上时间()[timeOfDay] accelX=加速度X(g)[g] accelY=加速度Y(g)[g] accelZ=加速度Z(g)[g] gyroX=角速度X(°/s)[deg/s] gyroY=角速度Y(°/s)[deg/s] gyroZ=角速度Z(°/s)[deg/s]',
  ],
  [
    'names in German, decimal commas',
    `Zeit;Beschleunigung X [m/s²];Beschleunigung Y [m/s²];Beschleunigung Z [m/s²];Drehrate X [°/s];Drehrate Y [°/s];Drehrate Z [°/s]\n${rowsOf(
      take,
      [time(), ...FORCES, gyro(0), gyro(1), gyro(2)].map((read) => (s: Sample) => read(s).replace('.', ',')),
      ';',
    )}`,
    'time=Zeit[s] accelX=Beschleunigung X [m/s²][m/s2] accelY=Beschleunigung Y [m/s²][m/s2] accelZ=Beschleunigung Z [m/s²][m/s2] gyroX=Drehrate X [°/s][deg/s] gyroY=Drehrate Y [°/s][deg/s] gyroZ=Drehrate Z [°/s][deg/s]',
  ],
  [
    'force in g named by one letter, a magnetometer and angles beside',
    `time,gFx,gFy,gFz,TgF,wx,wy,wz,p,Bx,By,Bz,Azimuth,Pitch,Roll\n${rowsOf(take, [time(), accel(0), accel(1), accel(2), fixed(1), ...RATES, fixed(1000), fixed(1), fixed(2), fixed(3), fixed(5), fixed(6), fixed(7)])}`,
    'time=time[s] accelX=gFx[g] accelY=gFy[g] accelZ=gFz[g] gyroX=wx[rad/s] gyroY=wy[rad/s] gyroZ=wz[rad/s]',
  ],
  [
    'capitals run into one word, user acceleration beside the plain one',
    `stamp,accelerationX(G),accelerationY(G),accelerationZ(G),motionUserAccelerationX(G),motionUserAccelerationY(G),motionUserAccelerationZ(G),gyroRotationX(rad/s),gyroRotationY(rad/s),gyroRotationZ(rad/s)\n${rowsOf(take, [time(), accel(0), accel(1), accel(2), fixed(0.1), fixed(0.2), (_, i) => i % 3, ...RATES])}`,
    'time=stamp[s] accelX=accelerationX(G)[g] accelY=accelerationY(G)[g] accelZ=accelerationZ(G)[g] gyroX=gyroRotationX(rad/s)[rad/s] gyroY=gyroRotationY(rad/s)[rad/s] gyroZ=gyroRotationZ(rad/s)[rad/s]',
  ],
  [
    'two letters for the kind',
    `t,AcX,AcY,AcZ,Tmp,GyX,GyY,GyZ\n${rowsOf(take, [time(), ...FORCES, fixed(28.1), ...RATES])}`,
    'time=t[s] accelX=AcX[m/s2] accelY=AcY[m/s2] accelZ=AcZ[m/s2] gyroX=GyX[rad/s] gyroY=GyY[rad/s] gyroZ=GyZ[rad/s]',
  ],
  [
    'the axis before the kind',
    `time (sec), x-accel (g), y-accel (g), z-accel (g), x-gyro (deg/sec), y-gyro (deg/sec), z-gyro (deg/sec)\n${rowsOf(take, [time(), accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)], ', ')}`,
    'time=time (sec)[s] accelX=x-accel (g)[g] accelY=y-accel (g)[g] accelZ=z-accel (g)[g] gyroX=x-gyro (deg/sec)[deg/s] gyroY=y-gyro (deg/sec)[deg/s] gyroZ=z-gyro (deg/sec)[deg/s]',
  ],
  [
    'p, q, r',
    `t,p (rad/s),q (rad/s),r (rad/s),ax (m/s^2),ay (m/s^2),az (m/s^2)\n${rowsOf(take, [time(), ...RATES, ...FORCES])}`,
    'time=t[s] gyroX=p (rad/s)[rad/s] gyroY=q (rad/s)[rad/s] gyroZ=r (rad/s)[rad/s] accelX=ax (m/s^2)[m/s2] accelY=ay (m/s^2)[m/s2] accelZ=az (m/s^2)[m/s2]',
  ],
  [
    'roll, pitch and yaw rate, and buttons by short names',
    `t_ms,roll_rate,pitch_rate,yaw_rate,accel_x,accel_y,accel_z,pwr,aux\n${rowsOf(take, [time(1e3, 0), ...RATES, ...FORCES, (_, i) => Number(i > 100 && i < 120), fixed(0)])}`,
    'time=t_ms[ms] gyroX=roll_rate[rad/s] gyroY=pitch_rate[rad/s] gyroZ=yaw_rate[rad/s] accelX=accel_x[m/s2] accelY=accel_y[m/s2] accelZ=accel_z[m/s2] button=pwr[level] button=aux[level]',
  ],
  [
    'two sensors side by side: the first, and its own rates',
    `time,ax1,ay1,az1,gx1,gy1,gz1,ax2,ay2,az2,gx2,gy2,gz2\n${rowsOf(take, [time(), ...FORCES, ...RATES, ...FORCES, ...RATES])}`,
    'time=time[s] accelX=ax1[m/s2] accelY=ay1[m/s2] accelZ=az1[m/s2] gyroX=gx1[rad/s] gyroY=gy1[rad/s] gyroZ=gz1[rad/s]',
  ],
  [
    'raw rates in deg/s and estimates in rad/s: raw ones go with raw acceleration',
    `t_s,raw_acceleration_x_gs,raw_acceleration_y_gs,raw_acceleration_z_gs,raw_angular_rate_x_deg_per_s,raw_angular_rate_y_deg_per_s,raw_angular_rate_z_deg_per_s,est_angular_rate_x_rad_per_s,est_angular_rate_y_rad_per_s,est_angular_rate_z_rad_per_s\n${rowsOf(take, [time(), accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2), ...RATES])}`,
    'time=t_s[s] accelX=raw_acceleration_x_gs[g] accelY=raw_acceleration_y_gs[g] accelZ=raw_acceleration_z_gs[g] gyroX=raw_angular_rate_x_deg_per_s[deg/s] gyroY=raw_angular_rate_y_deg_per_s[deg/s] gyroZ=raw_angular_rate_z_deg_per_s[deg/s]',
  ],
  [
    'names that say nothing',
    `c1,c2,c3,c4,c5,c6,c7\n${rowsOf(take, [time(), ...FORCES, ...RATES])}`,
    'time=c1[s] accelX=c2[m/s2] accelY=c3[m/s2] accelZ=c4[m/s2] gyroX=c5[rad/s] gyroY=c6[rad/s] gyroZ=c7[rad/s]',
  ],
  [
    'column numbers for names, an index column',
    `0,1,2,3,4,5,6\n${rowsOf(take, [time(), ...FORCES, ...RATES])}`,
    'time=column 1[s] accelX=column 2[m/s2] accelY=column 3[m/s2] accelZ=column 4[m/s2] gyroX=column 5[rad/s] gyroY=column 6[rad/s] gyroZ=column 7[rad/s]',
  ],
  [
    'no header, a magnetometer behind',
    rowsOf(take, [
      time(),
      ...FORCES,
      ...RATES,
      (s) => (30 + s.accel[1]).toFixed(3),
      (s) => (s.accel[2] - 12).toFixed(3),
      fixed(41),
    ]),
    'time=column 1[s] accelX=column 2[m/s2] accelY=column 3[m/s2] accelZ=column 4[m/s2] gyroX=column 5[rad/s] gyroY=column 6[rad/s] gyroZ=column 7[rad/s]',
  ],
  [
    'whole seconds, a hundred rows each',
    `time,x_acceleration,y_acceleration,z_acceleration,x_angular_velocity,y_angular_velocity,z_angular_velocity\n${rowsOf(take, [second, ...FORCES, ...RATES])}`,
    'time=time[s] accelX=x_acceleration[m/s2] accelY=y_acceleration[m/s2] accelZ=z_acceleration[m/s2] gyroX=x_angular_velocity[rad/s] gyroY=y_angular_velocity[rad/s] gyroZ=z_angular_velocity[rad/s]',
  ],
  [
    'seconds and nanoseconds in two columns',
    `secs,nsecs,wx,wy,wz,ax,ay,az\n${rowsOf(take, [(s) => 1_778_347_800 + second(s), (s) => Math.round((s.t - second(s)) * 1e9), ...RATES, ...FORCES])}`,
    'time=nsecs[ns] gyroX=wx[rad/s] gyroY=wy[rad/s] gyroZ=wz[rad/s] accelX=ax[m/s2] accelY=ay[m/s2] accelZ=az[m/s2]',
  ],
  [
    'a date column and a clock column',
    `Date,Time,Accel X,Accel Y,Accel Z,Gyro X,Gyro Y,Gyro Z\n${rowsOf(take, [fixed('05/01/2026'), (s) => `12:00:0${second(s)}.${milli(s)}`, ...FORCES, ...RATES])}`,
    'time=Time[timeOfDay] accelX=Accel X[m/s2] accelY=Accel Y[m/s2] accelZ=Accel Z[m/s2] gyroX=Gyro X[rad/s] gyroY=Gyro Y[rad/s] gyroZ=Gyro Z[rad/s]',
  ],
];

test.each(LAYOUTS)('%s', async (_name, text, used) => {
  const { mapping, report, needs } = await previewLog([textSource(text)], {}, {});
  const shown = mapping.columns
    .filter(({ role }) => role !== 'ignored')
    .map(({ role, name, unit }) => `${role}=${name}[${unit}]`);
  expect(shown.join(' ')).toBe(used);
  expect(needs).toEqual([]);
  expect(report).toMatchObject({ rows: 900, badRowCount: 0, duplicates: 0, gaps: 0 });
  expect(report!.rateHz).toBeCloseTo(100, 1);
  expect(report!.durationS).toBeCloseTo(8.99, 2);
  // The rolling take: 70.7 deg/s and a bias of 0.5, about 1 g.
  expect(report!.peakRateDps).toBeCloseTo(71.2, 0);
  expect(report!.peakAccelG).toBeCloseTo(1, 1);
  expect(mapping.columns.every(({ reason }) => reason !== '')).toBe(true);
});

describe('a time column that the user states', () => {
  const rows = Array.from({ length: 200 }, (_, i) => `${i * 5},0,0,1,${i % 7},0,0`).join('\n');
  const look = (header: string, unit?: string, unitRow = '') =>
    previewLog(
      [textSource(`${header},ax,ay,az,gx,gy,gz\n${unitRow}${rows}\n`)],
      {
        roles: [{ file: 0, index: 0, role: 'time', ...(unit ? { unit } : {}) }],
        accelUnit: 'g',
        gyroUnit: 'deg/s',
      },
      {},
    );

  test('takes the unit that its name states', async () => {
    const { report, needs } = await look('Zeit [ms]');
    expect(needs).toEqual([]);
    expect(report?.rateHz).toBeCloseTo(200, 3);
  });
  test('takes the unit that the row of units states', async () => {
    const { report, needs } = await look('tick', undefined, 'ms,g,g,g,dps,dps,dps\n');
    expect(needs).toEqual([]);
    expect(report?.rateHz).toBeCloseTo(200, 3);
  });
  test('asks for its unit where its name states none, and reads no rate of NaN', async () => {
    const { report, needs } = await look('tick');
    expect(report).toBeNull();
    expect(needs).toEqual(['column "tick" is the time, in no known unit: say which unit it is in']);
  });
  test('is read in the unit that the user states', async () => {
    expect((await look('tick', 'ms')).report?.rateHz).toBeCloseTo(200, 3);
  });
});
