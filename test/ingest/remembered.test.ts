import { describe, expect, test } from 'vitest';
import { type RememberedMapping, shapeKey, shapeOf } from '../../server/ingest/ground/remembered.ts';
import type { Overrides, Preview } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { rollingTake, rowsOf, SIX, textSource, time } from './logs.ts';

const take = rollingTake(400, 100);
const HEADER = 't_s,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g,extra';
const log = (header = HEADER, delimiter = ',') =>
  `${header.replaceAll(',', delimiter)}\n${rowsOf(take, [time(), ...SIX, (_, i) => Number(i > 200 && i < 220)], delimiter)}`;
const EXTRA: Overrides = { roles: [{ file: 0, index: 7, role: 'button' }] };

async function look(
  text: string,
  overrides: Overrides,
  corrections: Overrides | null = null,
  apply = true,
): Promise<Preview> {
  const mappings = corrections === null ? [] : [await remembered(corrections)];
  return previewLog([textSource(text)], overrides, {}, { mappings, apply });
}

async function remembered(corrections: Overrides): Promise<RememberedMapping> {
  const { mapping } = await previewLog([textSource(log())], {}, {});
  return {
    id: 'a1',
    shape: shapeOf(mapping),
    corrections,
    fileName: 'thumb.csv',
    savedAt: '2031-05-02T10:00:00.000Z',
  };
}

describe('what differs from the guess', () => {
  test.each<[string, Overrides, Overrides]>([
    ['nothing stated', {}, {}],
    ['a role that nobody guessed', EXTRA, EXTRA],
    ['a role as guessed', { roles: [{ file: 0, index: 1, role: 'gyroX' }] }, {}],
    ['a unit as guessed, otherwise spelt', { gyroUnit: 'deg/s', accelUnit: 'G', timeUnit: 's' }, {}],
    ['a unit of a column as guessed', { roles: [{ file: 0, index: 4, role: 'accelX', unit: 'g' }] }, {}],
    ['a unit unlike the guess', { gyroUnit: 'rad/s' }, { gyroUnit: 'rad/s' }],
    ['a rate that the clock overrules', { rateHz: 50 }, {}],
    [
      'that somebody has stated the mount, also the one that is taken anyway',
      { mount: { tip: '+x', side: '+y' } },
      { mount: { tip: '+x', side: '+y' } },
    ],
    ['another mount', { mount: { tip: '-z', side: '+x' } }, { mount: { tip: '-z', side: '+x' } }],
  ])('%s', async (_claim, stated, expected) => {
    expect((await look(log(), stated)).corrections).toEqual(expected);
  });

  test('a rate counts where no clock tells it', async () => {
    const roles = [{ file: 0, index: 0, role: 'ignored' as const }];
    expect((await look(log(), { roles, rateHz: 100 })).corrections).toEqual({ roles, rateHz: 100 });
  });
});

describe('a log of a shape that was corrected before', () => {
  test('is read as it was corrected, and every reason says so', async () => {
    const mount = { tip: '+y', side: '+z' } as const;
    const { mapping, report, remembered, stated } = await look(
      log(),
      {},
      { ...EXTRA, gyroUnit: 'deg/s', mount },
    );
    const says = 'as you set for thumb.csv on 2031-05-02';
    expect(report?.presses).toEqual([{ button: 'extra', count: 1 }]);
    expect(mapping.columns[7]).toMatchObject({ role: 'button', reason: says });
    expect(mapping.columns[1]?.reason).toContain(says);
    expect([mapping.mount, mapping.mountReason, mapping.isMountAssumed]).toEqual([mount, says, undefined]);
    expect((await look(log(), {})).mapping).toMatchObject({ mount: { tip: '+x' }, isMountAssumed: true });
    expect(remembered).toMatchObject({ id: 'a1', fileName: 'thumb.csv', inUse: true });
    expect(stated).toEqual({ ...EXTRA, gyroUnit: 'deg/s', mount });
  });

  test('what is stated now beats it, column by column', async () => {
    const own: Overrides = { roles: [{ file: 0, index: 7, role: 'label' }] };
    const { mapping, remembered } = await look(log(), own, { ...EXTRA, rateHz: 50 });
    expect(mapping.columns[7]).toMatchObject({ role: 'label', reason: 'stated by you' });
    expect(remembered?.inUse).toBe(true);
  });

  test('is read by the guess where that is wished, and tells that something is remembered', async () => {
    const { mapping, remembered } = await look(log(), {}, EXTRA, false);
    expect(mapping.columns[7]?.role).toBe('ignored');
    expect(remembered).toMatchObject({ id: 'a1', inUse: false });
  });

  test('a stated rate and a time column left alone come back together', async () => {
    const known: Overrides = { rateHz: 100, roles: [{ file: 0, index: 0, role: 'ignored' }] };
    const { report, mapping } = await look(log(), {}, known);
    expect(report?.rateHz).toBe(100);
    expect(mapping.rateReason).toBe('as you set for thumb.csv on 2031-05-02');
  });

  test.each([
    ['other header texts', log(HEADER.replace('extra', 'other'))],
    ['another order of columns', log(HEADER.replace('ax_g,ay_g', 'ay_g,ax_g'))],
    ['another delimiter', log(HEADER, ';')],
  ])('%s make another shape', async (_claim, text) => {
    expect((await look(text, {}, EXTRA)).remembered).toBeNull();
  });

  test('without a header the number of columns is the shape', async () => {
    const bare = (columns: number) =>
      previewLog([textSource(rowsOf(take, [time(), ...SIX, () => 0, () => 0].slice(0, columns)))], {}, {});
    const key = async (columns: number) => shapeKey(shapeOf((await bare(columns)).mapping));
    expect(await key(8)).toBe(await key(8));
    expect(await key(8)).not.toBe(await key(9));
  });
});

describe('what was remembered and no longer fits is followed, with a caution', () => {
  test.each<[string, Overrides, string]>([
    ['a unit of acceleration', { accelUnit: 'm/s2' }, 'in g it would be about 1 g: check the unit'],
    ['a unit of rates', { gyroUnit: 'rad/s' }, 'fits °/s: check the unit'],
    [
      'a button that takes many values',
      {
        roles: [
          { file: 0, index: 7, role: 'ignored' },
          { file: 0, index: 0, role: 'button' },
        ],
        rateHz: 100,
      },
      'column "t_s" is set to button, but it takes too many values for one',
    ],
  ])('%s', async (_claim, corrections, caution) => {
    const { report, remembered } = await look(log(), {}, corrections);
    expect(report?.warnings.join('\n')).toContain(caution);
    expect(remembered?.inUse).toBe(true);
  });

  test('a unit that fits draws none', async () => {
    const { report } = await look(log(), {}, { accelUnit: 'g', gyroUnit: 'deg/s' });
    expect(report?.warnings).toEqual([]);
  });
});
