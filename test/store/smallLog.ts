/** A plain log: 100 Hz, a slow turn about y, gravity along z, one press of a button from row 20 to row 29. */
export function smallLog(rows = 100): string {
  const lines = ['time_s,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power_button'];
  for (let i = 0; i < rows; ++i) {
    const isDown = i >= 20 && i < 30 ? 1 : 0;
    lines.push(
      `${(i / 100).toFixed(2)},0.5,${(30 * Math.sin(i / 15)).toFixed(3)},-0.25,0.01,-0.02,0.999,${isDown}`,
    );
  }
  return `${lines.join('\n')}\n`;
}
