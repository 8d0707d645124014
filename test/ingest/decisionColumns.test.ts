import { describe, expect, test } from 'vitest';
import type { Overrides } from '../../server/ingest/ground/types.ts';
import { previewAndRead } from '../../server/ingest/preview/preview.ts';
import { FORCES, RATES, rollingTake, rowsOf, SIX, textSource, time } from './logs.ts';

const NAMES = 'time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power';
/** At 100 Hz; the power button goes down in rows 100 and 300, each time for ten. */
const isDown = (i: number) => (i >= 100 && i < 110) || (i >= 300 && i < 310);
const rows = rowsOf(rollingTake(400, 100), [time(1e6, 0), ...SIX, (_, i) => Number(isDown(i))])
  .trimEnd()
  .split('\n');

async function read(names: string, cells: (i: number) => string, stated: Overrides = {}) {
  const text = `${NAMES},${names}\n${rows.map((row, i) => `${row},${cells(i)}`).join('\n')}\n`;
  const { preview, take } = await previewAndRead([textSource(text, 'prop.csv')], stated, {});
  expect(preview.needs).toEqual([]);
  return { take: take!, roles: preview.mapping.columns.slice(8).map(({ role }) => role) };
}

const ALL = 'guard_closed,press_refused,fired';

describe('what the prop decided', () => {
  test('is read by the names of its columns, without a question', async () => {
    const fired = (i: number) =>
      i === 200 ? 'impact+stab' : i === 250 || i === 251 ? 'dial:2' : i === 252 ? 'dial:-1+twist' : '0';
    const { take, roles } = await read(
      ALL,
      (i) => `${Number((i >= 90 && i < 120) || i >= 390)},${Number(i === 100)},${fired(i)}`,
    );
    expect(roles).toEqual(['guardClosed', 'pressRefused', 'fired']);
    expect(take.decisions).toEqual({
      // To the log's end: behind its last row, at 3.99 s.
      guardClosed: [
        { startUs: 900_000, endUs: 1_200_000 },
        { startUs: 3_900_000, endUs: 3_990_001 },
      ],
      refusedUs: [1_000_000],
      fires: [
        { kind: 'impact', steps: 1, atUs: 2_000_000 },
        { kind: 'stab', steps: 1, atUs: 2_000_000 },
        // Rows alike that follow one another: the dial turns in each.
        { kind: 'dial', steps: 2, atUs: 2_500_000 },
        { kind: 'dial', steps: 2, atUs: 2_510_000 },
        { kind: 'dial', steps: -1, atUs: 2_520_000 },
        { kind: 'twist', steps: 1, atUs: 2_520_000 },
      ],
    });
    expect(take.presses.map(({ button }) => button)).toEqual(['power', 'power']);
    expect(take.report.warnings).toEqual([]);
  });

  test('a detector that stays on over some rows fires once', async () => {
    const { take } = await read('fired', (i) => (i >= 200 && i < 220 ? 'deflection' : '0'));
    expect(take.decisions).toEqual({
      guardClosed: null,
      refusedUs: null,
      fires: [{ kind: 'deflection', steps: 1, atUs: 2_000_000 }],
    });
  });

  test('a log without such columns says nothing of it', async () => {
    const { take } = await read('temperature', () => '21.5');
    expect(take.decisions).toBeNull();
  });

  test.each([
    [
      'a column of one of these names that holds something else',
      'guard_closed',
      (i: number) => String(i % 3),
    ],
    ['an empty one', 'fired', () => ''],
    ['a flag that something fired, not what', 'fired', (i: number) => String(Number(i === 20))],
    ['steps of the dial that are not said', 'fired', (i: number) => (i === 20 ? 'dial' : '0')],
    ['a name that only sounds like it', 'presses_refused_count', (i: number) => String(Number(i === 20))],
  ])('%s is left alone, and no button either', async (what, name, cell) => {
    const { take, roles } = await read(name, cell);
    expect(take.decisions).toBeNull();
    if (!what.includes('sounds')) expect(roles).toEqual(['ignored']);
  });

  test.each([
    [
      'guard_closed',
      (i: number) => (i === 395 ? '2' : '0'),
      'prop.csv, line 397, column 9 (guard_closed): 0 or 1 was expected, and "2" is none of that',
    ],
    [
      'press_refused',
      (i: number) => (i === 396 ? '' : '0'),
      'prop.csv, line 398, column 9 (press_refused): 0 or 1 was expected, and the cell is empty',
    ],
    [
      'fired',
      (i: number) => (i === 397 ? 'parry' : '0'),
      'line 399, column 9 (fired): 0, or what fired: deflection, impact, stab, twist or dial:STEPS, joined by + was expected, and "parry" is none of that',
    ],
  ])(
    'one odd cell far down in %s: nothing of the column is taken, and the place is told',
    async (name, cell, words) => {
      // Far enough down that the guess does not see it.
      const { take } = await read(name, cell, { roles: [{ file: 0, index: 8, role: roleOf(name) }] });
      expect(take.decisions).toBeNull();
      expect(take.report.warnings.join()).toContain(words);
    },
  );

  test('other names are read so where the user says it', async () => {
    const roles = [{ file: 0, index: 8, role: 'guardClosed' as const }];
    const { take } = await read('g', (i) => String(Number(i >= 50 && i < 60)), { roles });
    expect(take.decisions?.guardClosed).toEqual([{ startUs: 500_000, endUs: 600_000 }]);
  });

  test('in the other units that the README names', async () => {
    const names =
      'time_us,gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_m_s2,accel_y_m_s2,accel_z_m_s2,power,fired';
    const own = rowsOf(rollingTake(400, 100), [time(1e6, 0), ...RATES, ...FORCES, () => 0, () => 0]);
    const { preview } = await previewAndRead([textSource(`${names}\n${own}`)], {}, {});
    expect(preview.needs).toEqual([]);
    expect(preview.mapping.columns.map(({ role, unit }) => `${role} ${unit}`.trim())).toEqual([
      'time us',
      ...['X', 'Y', 'Z'].map((axis) => `gyro${axis} rad/s`),
      ...['X', 'Y', 'Z'].map((axis) => `accel${axis} m/s2`),
      'button level',
      'fired',
    ]);
  });

  test('two columns of one kind are asked about', async () => {
    const text = `${NAMES},guard_closed,guard-closed\n${rows.map((row) => `${row},0,0`).join('\n')}\n`;
    const { preview } = await previewAndRead([textSource(text)], {}, {});
    expect(preview.needs).toEqual(['2 columns are mapped to guardClosed: keep one of them']);
  });
});

function roleOf(name: string) {
  return name === 'fired' ? 'fired' : name === 'guard_closed' ? 'guardClosed' : 'pressRefused';
}
