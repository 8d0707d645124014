import { describe, expect, test } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { compileExample, hasCompiler } from './compiled.ts';

const RATE_HZ = 200;
const { deflection } = DEFAULT_CANDIDATE;

/** Eight swings of 0.5 s about z; the deflection's button is down in every second one. */
const ROWS = Array.from({ length: 8 * 0.5 * RATE_HZ }, (_, i) => {
  const t = i / RATE_HZ;
  const isHeld = Math.floor(t / 0.5) % 2;
  return [Math.round(t * 1e6), 0, 0, 500 * Math.sin(2 * Math.PI * t), 0, 0, 1, 0, isHeld];
});
const text = (cells: number) => `head\n${ROWS.map((row) => row.slice(0, cells).join()).join('\n')}\n`;

const example = (switchedOn: 'always' | 'held') =>
  compileExample({
    candidate: { ...DEFAULT_CANDIDATE, deflection: { ...deflection, switchedOn } },
    calibration: DEFAULT_CALIBRATION,
    rateHz: RATE_HZ,
  });

describe.skipIf(!hasCompiler())('the example in C', () => {
  test('reads the deflection’s button where deflections wait for it, and writes it down', () => {
    const [head, ...lines] = example('held')(text(9)).trimEnd().split('\n');
    expect(head).toMatch(/,power,deflection_button,guard_closed,press_refused,fired$/);
    const cells = lines.map((line) => line.split(','));
    expect(cells.map((row) => row[8])).toEqual(ROWS.map((row) => String(row[8])));
    const fired = cells.flatMap((row, i) => (row[11] === 'deflection' ? [ROWS[i]![8]] : []));
    expect(fired).toEqual([1, 1, 1, 1]);
    // A line without the button is cut off.
    expect(example('held')(text(8)).trimEnd().split('\n')).toHaveLength(1);
  });

  test('always on, it knows no such column, and whatever stands there is no button', () => {
    const run = example('always');
    const plain = run(text(8));
    expect(plain.split('\n')[0]).toMatch(/,power,guard_closed,/);
    expect(plain.match(/deflection$/gm)).toHaveLength(8);
    expect(run(text(9))).toBe(plain);
  });
});
