import { describe, expect, test } from 'vitest';
import type { LogReport, Overrides } from '../../server/ingest/ground/types.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { seededRandom } from '../seeded.ts';
import { rollingTake, rowsOf, SIX, textSource } from './logs.ts';

const NAMES = 'gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g';

async function reportOf(text: string, stated: Overrides = {}): Promise<LogReport> {
  const { report, needs } = await previewLog([textSource(text)], stated, {});
  expect(needs).toEqual([]);
  return report!;
}

/** A take with one stamp a row, as text; its clock's name first. */
function stamped(
  name: string,
  rateHz: number,
  seconds: number,
  stamp: (t: number, i: number) => string,
): string {
  const take = rollingTake(Math.round(rateHz * seconds), rateHz);
  return `${name},${NAMES}\n${rowsOf(take, [(s, i) => stamp(s.t, i), ...SIX])}`;
}

describe('seconds and a part of the second joined by a point without padding', () => {
  const joined = (digits: number, from: number) => (t: number) => {
    const units = Math.round((from + t) * 10 ** digits);
    return `${Math.floor(units / 10 ** digits)}.${units % 10 ** digits}`;
  };
  test.each([
    ['microseconds, named in s', 'time_s', 6, 12.8, 100, 's.us'],
    ['microseconds, in no unit', 'time', 6, 3.02, 208, 's.us'],
    ['milliseconds', 'time', 3, 12, 100, 's.ms'],
    ['nanoseconds', 'stamp [s]', 9, 900.5, 200, 's.ns'],
    ['microseconds since 1970', 'timestamp', 6, 1_767_225_600, 100, 's.us'],
  ])('%s', async (_what, name, digits, from, rateHz, unit) => {
    const report = await reportOf(stamped(name, rateHz, 6, joined(digits, from)));
    expect(report.columns[0]).toMatchObject({ role: 'time', unit });
    expect(report.rateHz).toBeCloseTo(rateHz, 1);
    expect(report).toMatchObject({ gaps: 0, backwards: 0, badRowCount: 0, rows: 6 * rateHz });
    expect(report.durationS).toBeCloseTo(6 - 1 / rateHz, 3);
  });

  test('decimal numbers without their last zeros stay decimal numbers', async () => {
    const report = await reportOf(stamped('time_s', 100, 6, (t) => String(Number((7.5 + t).toFixed(4)))));
    expect(report.columns[0]!.unit).toBe('s');
    expect(report.rateHz).toBeCloseTo(100, 2);
  });

  test('whoever states s means the same reading', async () => {
    const text = stamped('time', 100, 6, joined(6, 12.8));
    const report = await reportOf(text, { timeUnit: 's' });
    expect(report).toMatchObject({ gaps: 0, backwards: 0, rows: 600 });
  });

  test('a decimal comma joins them too', async () => {
    const text = stamped('time', 100, 6, joined(6, 12.8)).replaceAll(',', ';').replaceAll('.', ',');
    expect(await reportOf(text)).toMatchObject({ gaps: 0, backwards: 0, rows: 600 });
  });
});

describe('rows stamped in bunches', () => {
  /** `size` rows are stamped when the last of them has come, so many microseconds apart. */
  const bunched =
    (rows: number, rateHz: number, size: number, apartUs: number) => (_t: number, i: number) => {
      const last = Math.min(rows - 1, Math.floor(i / size) * size + size - 1);
      return ((1e6 * last) / rateHz + (i % size) * apartUs) as number;
    };
  test.each([
    ['a buffer of 10 rows at 100 Hz, in s', 'time_s', 100, 10, 40, 1e-6, 6],
    ['a buffer of 20 at 208 Hz, in us', 'time_us', 208, 20, 15, 1, 0],
    ['packets of 4 at 200 Hz, in ms with decimals', 't_ms', 200, 4, 120, 1e-3, 3],
    ['packets of 6 at 104 Hz, in no unit', 'timestamp', 104, 6, 60, 1, 0],
    ['one arrival for a whole packet of 8', 'time_us', 200, 8, 0, 1, 0],
  ])('%s', async (_what, name, rateHz, size, apartUs, scale, digits) => {
    const rows = 12 * rateHz;
    const of = bunched(rows, rateHz, size, apartUs);
    const report = await reportOf(stamped(name, rateHz, 12, (t, i) => (of(t, i) * scale).toFixed(digits)));
    expect(Math.abs(report.rateHz / rateHz - 1)).toBeLessThan(0.01);
    expect(report).toMatchObject({ gaps: 0, rows, longSteps: 0 });
  });

  const text = stamped('time_us', 100, 12, (t, i) => bunched(1200, 100, 10, 40)(t, i).toFixed(0));
  test('the message names the mean rate and what to do', async () => {
    const { warnings } = await reportOf(text);
    expect(warnings.join('\n')).toMatch(
      /bunches of about 10 rows every 100 ms.*100\.\d* Hz.*to state the rate yourself, or to keep the stamps, set the clock$/m,
    );
  });
  test('a stated rate overrules the clock', async () => {
    const report = await reportOf(text, { clock: 'even', rateHz: 104 });
    expect(report.rateHz).toBeCloseTo(104, 2);
    expect(report.gaps).toBe(0);
  });
  test('the stamps are kept where the user says so', async () => {
    const { gaps } = await reportOf(text, { clock: 'stamps' });
    expect(gaps).toBeGreaterThan(100);
  });

  // 10 rows at 200 Hz, then half a second of which nothing was kept: the motion leaps.
  test('bunches between which the motion leaps are captures with lost rows, and stay', async () => {
    const take = rollingTake(2400, 200).filter((_, i) => i % 110 < 10);
    const own = `time_s,${NAMES}\n${rowsOf(take, [(s) => s.t.toFixed(4), ...SIX])}`;
    const { gaps, rateHz } = await reportOf(own);
    expect(gaps).toBe(21);
    expect(rateHz).toBeCloseTo(200, 0);
  });

  // Several captures in one file, with breaks: their stamps are right.
  test.each([
    ['four of 5 s, a minute apart', 5, 60, 4],
    ['thirty of 1 s, 4 s apart, at rest', 1, 4, 30],
  ])('captures with breaks between them keep their stamps: %s', async (_what, seconds, breakS, count) => {
    const take = rollingTake(100 * seconds * count, 100).map((s, i) => ({
      ...s,
      t: s.t + Math.floor(i / (100 * seconds)) * breakS,
    }));
    const report = await reportOf(`time_s,${NAMES}\n${rowsOf(take, [(s) => s.t.toFixed(4), ...SIX])}`);
    expect(report).toMatchObject({ gaps: count - 1, evened: null });
    expect(report.rateHz).toBeCloseTo(100, 1);
  });

  test('a row that cannot be read takes its time at an even clock too', async () => {
    const lines = stamped('time_s', 100, 6, (t) => t.toFixed(2)).split('\n');
    for (const at of [100, 200, 300]) lines[at] = lines[at]!.replace(/,[^,]*$/, ',ERR');
    const report = await reportOf(lines.join('\n'), { clock: 'even', rateHz: 100 });
    expect(report).toMatchObject({ rows: 597, badRowCount: 3 });
    expect(report.durationS).toBeCloseTo(5.99, 6);
  });

  test('at an uneven pace the user is asked', async () => {
    const random = seededRandom(3);
    let at = 0;
    const own = stamped('time_us', 100, 12, (_t, i) => {
      at += i % 10 === 0 ? Math.round((i < 600 ? 1 : 3) * (60_000 + 90_000 * random())) : 30;
      return String(at);
    });
    const { needs, report } = await previewLog([textSource(own)], {}, {});
    expect(report).toBeNull();
    expect(needs).toEqual([expect.stringMatching(/bunches.*evenly or were measured when they are stamped$/)]);
  });
});

describe('whole milliseconds at 500 to 1000 Hz', () => {
  const random = seededRandom(9);
  const cases = [500, 667, 700, 833, 952, 1000].flatMap((rateHz) =>
    [0, 1].map((jitter) => [rateHz, jitter] as const),
  );
  test.each(cases)('%d Hz, with %d ms of jitter, in several phases', async (rateHz, jitter) => {
    for (let phase = 0.1; phase < 1; phase += 0.4) {
      let latest = 0;
      const report = await reportOf(
        stamped('time_ms', rateHz, 5, (t) => {
          latest = Math.max(latest, Math.floor(1000 * t + phase + jitter * random()));
          return String(latest);
        }),
      );
      expect(Math.abs(report.rateHz / rateHz - 1)).toBeLessThan(3e-3);
      expect(report).toMatchObject({ gaps: 0, duplicates: 0, longSteps: 0, rows: Math.round(5 * rateHz) });
    }
  });

  test('952 Hz in a column called time, in no unit, are milliseconds and no count of samples', async () => {
    const text = stamped('timestamp', 952, 5, (t) => String(Math.floor(1000 * t + 345.3)));
    const report = await reportOf(text);
    expect(report.columns[0]!.unit).toBe('ms');
    expect(Math.abs(report.rateHz / 952 - 1)).toBeLessThan(3e-3);
  });

  test('a row lost now and then stays lost', async () => {
    const lost = new Set([211, 900, 1713, 2900, 3100]);
    const text = stamped('time_ms', 1000, 4, (t) => (1000 * t).toFixed(0));
    const kept = text.split('\n').filter((_, i) => !lost.has(i));
    const report = await reportOf(kept.join('\n'));
    expect(report).toMatchObject({ rows: 3995, gaps: 0 });
    expect(report.rateHz).toBeCloseTo(1000, 0);
    expect(report.durationS).toBeCloseTo(3.999, 3);
  });
});
