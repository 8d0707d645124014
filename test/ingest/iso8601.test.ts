import { describe, expect, test } from 'vitest';
import { formatMoment, parseIso8601, parseTimeOfDay } from '../../server/ingest/text/iso8601.ts';

const unix = (text: string) => {
  const moment = parseIso8601(text);
  return moment && [moment.seconds, Math.round(moment.micros * 1e3) / 1e3];
};

// RFC 3339 (Klyne & Newman, 2002), section 5.8; Unix seconds [recomputed].
describe('RFC 3339, section 5.8', () => {
  test.each([
    ['1985-04-12T23:20:50.52Z', [482_196_050, 520_000]],
    ['1996-12-19T16:39:57-08:00', [851_042_397, 0]],
    ['1937-01-01T12:00:27.87+00:20', [-1_041_337_173, 870_000]],
    ['2000-01-01T00:00:00Z', [946_684_800, 0]],
    ['2004-02-29T00:00:00Z', [1_078_012_800, 0]],
  ])('%s', (text, expected) => expect(unix(text)).toEqual(expected));

  test('a leap second is the second after :59, and marked', () => {
    expect(unix('1990-12-31T23:59:60Z')).toEqual([662_688_000, 0]);
    expect(unix('1990-12-31T15:59:60-08:00')).toEqual([662_688_000, 0]);
    expect(parseIso8601('1990-12-31T23:59:60Z')?.isLeapSecond).toBe(true);
    expect(parseIso8601('1990-12-31T23:59:59Z')?.isLeapSecond).toBe(false);
  });
});

// Forms of ISO 8601-1:2019 and its Amendment 1 [cited from memory].
describe('ISO 8601', () => {
  test.each([
    ['basic form', '20251125T052135Z', [1_764_048_095, 0]],
    ['a decimal comma', '2025-11-25T05:21:35,25Z', [1_764_048_095, 250_000]],
    ['a blank for the T', '2025-11-25 05:21:35Z', [1_764_048_095, 0]],
    ['lower case, as RFC 3339 allows', '2025-11-25t05:21:35z', [1_764_048_095, 0]],
    ['no seconds', '2025-11-25T05:21Z', [1_764_048_060, 0]],
    ['24:00:00 is the next midnight', '2025-11-25T24:00:00Z', [1_764_115_200, 0]],
    ['no offset is taken as UTC', '2025-11-25T05:21:35', [1_764_048_095, 0]],
    ['an offset without a colon', '2025-11-25T05:21:35+0530', [1_764_028_295, 0]],
    ['an offset of hours', '2025-11-25T05:21:35-02', [1_764_055_295, 0]],
    ['an underscore for the T', '2025-11-25_05:21:35', [1_764_048_095, 0]],
    ['the zone as a word', '2025-11-25 05:21:35 UTC', [1_764_048_095, 0]],
    ['nanoseconds stay', '2025-11-25T05:21:35.123456789Z', [1_764_048_095, 123_456.789]],
  ])('%s', (_name, text, expected) => expect(unix(text)).toEqual(expected));

  test.each([
    '2025-02-29T00:00:00Z',
    '2025-13-01T00:00:00Z',
    '2025-00-10T00:00:00Z',
    '2025-11-31T00:00:00Z',
    '2025-11-25T24:00:01Z',
    '2025-11-25T25:00:00Z',
    '2025-11-25T05:61:00Z',
    '2025-11-25T05:21:61Z',
    '2025-11-25T05:21:35+24:00',
    '2025-1125T05:21:35Z',
    '2025-11-25',
    'yesterday',
    '',
  ])('%j is no moment', (text) => expect(parseIso8601(text)).toBeNull());

  test('agrees with Date.parse wherever that knows the form', () => {
    for (let day = -200_000; day < 200_000; day += 777) {
      const text = new Date(day * 86_400_000 + day * 1009).toISOString();
      if (text.length > 24) continue;
      const moment = parseIso8601(text)!;
      expect(moment.seconds * 1000 + moment.micros / 1000).toBeCloseTo(Date.parse(text), 6);
    }
  });

  test('a moment is written to the microsecond', () => {
    expect(formatMoment(482_196_050, 520_000)).toBe('1985-04-12T23:20:50.520000Z');
    expect(formatMoment(482_196_050, 1_520_001)).toBe('1985-04-12T23:20:51.520001Z');
    expect(formatMoment(482_196_050, -1)).toBe('1985-04-12T23:20:49.999999Z');
  });
});

describe('time of day', () => {
  test.each([
    ['00:00:00', 0],
    ['23:59:59.999999', 86_399_999_999],
    ['1:02:03,5', 3_723_500_000],
    ['12:00:00 AM', 0],
    ['11:59:59.5 pm', 86_399_500_000],
    ['05/06/2025 12:00:01', 43_201_000_000],
    ['09-May-2025 12:00:01.5', 43_201_500_000],
    ['May 9, 2025 1:00:01 PM', 46_801_000_000],
    ['0 days 00:00:01.250000', 1_250_000],
    ['2 days, 1:00:00', 176_400_000_000],
    ['30:01.250', 1_801_250_000],
  ])('%s', (text, micros) => expect(parseTimeOfDay(text)).toBe(micros));

  test.each(['24:30:00', '13:00:00 PM', '12:60:00', '12:00', '61:00.0', 'noon'])('%j is none', (text) =>
    expect(parseTimeOfDay(text)).toBeNull(),
  );
});
