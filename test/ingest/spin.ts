import { readFileSync } from 'node:fs';

/** Seconds, m/s², rad/s and the state of the button, of a spin too fast to be told by how gravity turns. */
export const SPIN = readFileSync('fixtures/spinner-wall-plane.csv', 'utf8')
  .trim()
  .split('\n')
  .slice(1, 6001)
  .map((line) => line.trim().replaceAll(',', '.').split(';'))
  .map(([ms, gx, gy, gz, ax, ay, az, button]) => ({
    time: String(Number(ms) / 1000),
    forces: [ax!, ay!, az!],
    rates: [gx!, gy!, gz!],
    button: button!,
  }));
