import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { FORCES, RATES, rollingTake, type Sample, textSource, time } from './logs.ts';
import { SPIN } from './spin.ts';

/** As `SPIN`, of a slow roll about one axis, about which gravity turns as the rates say. */
const ROLL = rollingTake(900, 100).map((sample, i) => ({
  time: time()(sample),
  forces: FORCES.map((read) => read(sample)),
  rates: RATES.map((read: (s: Sample) => string) => read(sample)),
  button: String(Number(i % 300 > 250)),
}));
type Row = (typeof SPIN)[number];

const button = (row: Row) => row.button;
const written = (row: Row) => `${row.button}.0`;
const other = (_: Row, i: number) => String(Math.floor(i / 400) % 2);
const still = (text: string) => () => text;
const warm = (_: Row, i: number) => (28 + i / 9000 + 0.02 * Math.sin(i * i)).toFixed(2);
const count = (_: Row, i: number) => String(i % 256);
type Column = (row: Row, i: number) => string;
const forces = [0, 1, 2].map(
  (axis): Column =>
    (row) =>
      row.forces[axis]!,
);
const rates = [0, 1, 2].map(
  (axis): Column =>
    (row) =>
      row.rates[axis]!,
);

const WITH_NAMES: readonly (readonly [string, string, readonly Column[]])[] = [
  ['a button behind', 'a1,a2,a3,w1,w2,w3,b', [...forces, ...rates, button]],
  ['a button between', 'a1,a2,a3,b,w1,w2,w3', [...forces, button, ...rates]],
  ['a button in front of the rates', 'b,w1,w2,w3,a1,a2,a3', [button, ...rates, ...forces]],
  ['a button that is written 1.0', 'a1,a2,a3,w1,w2,w3,b', [...forces, ...rates, written]],
  ['a button that nobody presses', 'a1,a2,a3,w1,w2,w3,b', [...forces, ...rates, still('0')]],
  ['a letter for the axis', 'fx,fy,fz,vx,vy,vz,b', [...forces, ...rates, button]],
  ['units in the names', 'u1 [],u2 [],u3 [],v1 [],v2 [],v3 [],b', [...forces, ...rates, button]],
  ['two buttons', 'a1,a2,a3,w1,w2,w3,b,b2', [...forces, ...rates, button, other]],
  [
    'columns that never change',
    'a1,a2,a3,w1,w2,w3,k,v,b',
    [...forces, ...rates, still('0.000'), still('3.30'), button],
  ],
  ['a counter that starts anew', 'a1,a2,a3,w1,w2,w3,i,b', [...forces, ...rates, count, button]],
  ['a temperature behind', 'a1,a2,a3,w1,w2,w3,c,b', [...forces, ...rates, warm, button]],
  ['a temperature between', 'a1,a2,a3,c,w1,w2,w3,b', [...forces, warm, ...rates, button]],
  ['one run of numbers', 'c1,c2,c3,c4,c5,c6,b', [...forces, ...rates, button]],
];

describe.each([
  ['a fast spin', SPIN],
  ['a slow roll', ROLL],
])('forces, rates and buttons under names that tell nothing, %s', (_take, rows) => {
  const look = async (header: string | null, columns: readonly Column[]) => {
    const lines = rows.map((row, i) => [row.time, ...columns.map((column) => column(row, i))].join(','));
    const text = `${header === null ? '' : `t,${header}\n`}${lines.join('\n')}\n`;
    const { mapping, report } = await previewLog([textSource(text)], {}, {});
    const placesOf = (kind: string) =>
      mapping.columns.filter(({ role }) => role.startsWith(kind)).map(({ index }) => index - 1);
    return { accel: placesOf('accel'), gyro: placesOf('gyro'), button: placesOf('button'), report };
  };
  const placesOf = (columns: readonly Column[], wanted: readonly Column[]) =>
    wanted.map((column) => columns.indexOf(column));
  const BUTTONS: readonly Column[] = [button, written];

  test.each(WITH_NAMES)('%s', async (name, header, columns) => {
    const found = await look(header, columns);
    expect(found).toMatchObject({ accel: placesOf(columns, forces), gyro: placesOf(columns, rates) });
    const at = columns.findIndex((column) => BUTTONS.includes(column));
    if (name !== 'a button that nobody presses') expect(found.button).toContain(at);
    expect(found.report).not.toBeNull();
  });

  test.each(WITH_NAMES)('no names at all: %s', async (_name, _header, columns) => {
    const found = await look(null, columns);
    expect(found).toMatchObject({ accel: placesOf(columns, forces), gyro: placesOf(columns, rates) });
  });

  test('an axis that stands still is an axis all the same', async () => {
    const columns = [...forces, rates[0]!, still('0.0000'), rates[2]!, button];
    const found = await look(null, columns);
    expect(found).toMatchObject({ accel: [0, 1, 2], gyro: [3, 4, 5], button: [6] });
  });

  test('0 and 1 are no axis, whatever stands beside them', async () => {
    const columns = [...forces, rates[0]!, rates[1]!, button];
    const found = await look('a1,a2,a3,w1,w2,b', columns);
    expect(found).toMatchObject({ gyro: [], button: [5], report: null });
  });
});
