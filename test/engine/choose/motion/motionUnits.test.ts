import { describe, expect, test } from 'vitest';
import { motionUnits } from '../../../../server/engine/choose/motion/motionUnits.ts';
import type { LabelBy, SpanLabel } from '../../../../server/engine/labels/labels.ts';
import type { Swing } from '../../../../server/engine/truth/swings.ts';
import { fakeSignals } from '../../fakeSignals.ts';

const S = 1e6;
const signals = fakeSignals({ swingSpeedDps: new Float64Array(2000) }, { rateHz: 100 });

const swing = (startS: number, endS: number, by: LabelBy = 'program'): Swing => ({
  startUs: startS * S,
  endUs: endS * S,
  peakUs: startS * S,
  peakDps: 500,
  saturated: false,
  by,
});
const spin = (startS: number, endS: number, by: LabelBy = 'person'): SpanLabel => ({
  startUs: startS * S,
  endUs: endS * S,
  kind: 'spinning',
  by,
});

/** As `findTruth` settles them: given spins alone count, once there is one. */
function unitsOf(swings: Swing[], given: SpanLabel[], proposed: SpanLabel[] = []) {
  const spinning = given.length > 0 ? given : proposed;
  const { spins, stopsUs, ...rest } = motionUnits({ swings, spinning }, { spans: given }, signals);
  return { spins: spins.length, stopsS: stopsUs.map((us) => us / S), ...rest };
}

describe('stops', () => {
  test.each<[string, Swing[], number[]]>([
    ['the end of a swing, if none begins within a second', [swing(1, 1.4), swing(2.4, 2.8)], [1.4, 2.8]],
    ['not of one that is followed sooner', [swing(1, 1.4), swing(2.39, 2.8)], [2.8]],
    ['a swing inside another ends nothing', [swing(1, 3), swing(1.5, 2)], [3]],
    ['a swing without a second of data after it ends nothing', [swing(18.5, 19.2)], []],
  ])('%s', (_name, swings, stopsS) => {
    expect(unitsOf(swings, []).stopsS).toEqual(stopsS);
  });

  test('none goes across a gap', () => {
    const gapped = fakeSignals(
      { swingSpeedDps: new Float64Array(2000) },
      {
        rateHz: 100,
        segments: [
          { start: 0, end: 200 },
          { start: 200, end: 2000 },
        ],
        gapUs: 300_000,
      },
    );
    const { stopsUs } = motionUnits(
      { swings: [swing(1, 1.4), swing(5, 6)], spinning: [] },
      { spans: [] },
      gapped,
    );
    expect(stopsUs).toEqual([6 * S]);
  });
});

describe('who says so', () => {
  test('without a label all is proposed, and all of it waits to be confirmed', () => {
    expect(unitsOf([swing(1, 2), swing(5, 6)], [], [spin(1, 2, 'program')])).toEqual({
      spins: 1,
      stopsS: [2, 6],
      isConfirmed: false,
      waiting: { spins: 1, stops: 2 },
    });
  });

  test('a spin that a person gave confirms its stop, also where its last swing ends a little later', () => {
    expect(unitsOf([swing(1, 2.3), swing(5, 6)], [spin(1, 2)])).toEqual({
      spins: 1,
      stopsS: [2.3],
      isConfirmed: true,
      waiting: { spins: 0, stops: 1 },
    });
  });

  test('swings that a person gave confirm their stops; spins that are only proposed wait', () => {
    const found = unitsOf([swing(1, 2, 'person'), swing(5, 6)], [], [spin(1, 2, 'program')]);
    expect(found).toEqual({ spins: 0, stopsS: [2], isConfirmed: true, waiting: { spins: 1, stops: 1 } });
  });

  test('a document’s own proposals count as proposals', () => {
    const found = unitsOf([swing(1, 2)], [spin(1, 2, 'program')]);
    expect(found.isConfirmed).toBe(false);
  });
});
