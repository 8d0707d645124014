export const RATE_HZ = 1000;
export const HEADER = 'time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power_button\n';
const REST_ROWS = 2200;

/** Rows of a log at 1 kHz, counted from the device's start: some two seconds of rest, then a swing to and fro. */
export function liveRows(from: number, count: number): string {
  let text = '';
  for (let i = from; i < from + count; ++i) {
    const turn = i < REST_ROWS ? 0 : 300 * Math.sin((i - REST_ROWS) / 150);
    const isDown = i % 2500 > 2300 ? 1 : 0;
    const noise = ((i * 7919) % 101) / 1000;
    text += `${i * 1000},${(0.5 + noise).toFixed(3)},${(turn + noise).toFixed(3)},-0.250,${(turn / 2000).toFixed(4)},-0.0200,${(0.999 + noise / 100).toFixed(4)},${isDown}\n`;
  }
  return text;
}
