import type { Candidate } from '../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../server/engine/settings/candidateRules.ts';
import { seededNormal } from './seeded.ts';

/** Without smoothing and without a hold the guard is closed wherever the speed is high: no detector is needed to say so. */
export const PLAIN_CANDIDATE: Candidate = {
  ...DEFAULT_CANDIDATE,
  smoothing: { ...DEFAULT_CANDIDATE.smoothing, kind: 'none' },
};
const GUARD_DPS = PLAIN_CANDIDATE.guard.speedDps;
const RATE_HZ = 200;

/** Twelve seconds of rest and swings about y, with five presses; the guard as a prop logs it that is so many rows late. */
export function plainDeviceLog(lateRows: number): string {
  const normal = seededNormal(3);
  const rows = Array.from({ length: 12 * RATE_HZ }, (_, i) => {
    const t = i / RATE_HZ;
    const y = t < 3 || t > 11 ? 0 : 400 * Math.sin(2 * Math.PI * 0.9 * (t - 3));
    return { y: y + 0.05 * normal(), isDown: i % 400 >= 380, z: 1 + 0.002 * normal() };
  });
  const isClosed = (i: number) => Math.abs(rows[i - lateRows]?.y ?? 0) >= GUARD_DPS;
  const text = rows.map(({ y, z, isDown }, i) => {
    const isRefused = isDown && !rows[i - 1]?.isDown && isClosed(i);
    return `${i * 5000},0.0${i % 3},${y.toFixed(3)},0,0.00${i % 5},0,${z.toFixed(4)},${Number(isDown)},${Number(isClosed(i))},${Number(isRefused)}`;
  });
  return `time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power,guard_closed,press_refused\n${text.join('\n')}\n`;
}
