import { describe, expect, test } from 'vitest';
import { runStab, StabDetector, type StabSettings } from '../../../server/engine/detect/stab.ts';
import { referenceStab, type StabSamples } from '../../reference/stab.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { splitAt } from './traces.ts';

const RATE_HZ = 100;
const settings = (change: Partial<StabSettings> = {}): StabSettings => ({
  thrustG: 1.5,
  sustainMs: 20,
  quietDps: 200,
  quietBeforeMs: 0,
  windowMs: 30,
  untilHitDps: 300,
  hitRatio: 0.25,
  ...change,
});

/**
 * One character per 10 ms: 'T' = a thrust, at the level, of a blade at the quiet speed; 'X' = the same with an impact;
 * 'x' = an impact alone; 's' = a thrust of a blade that swings; 'w' = a thrust too weak; '?' = NaN; '.' = nothing;
 * 'f' = a blade too fast until the hit; 'F' = the same with an impact; 'l' = one at the very limit.
 */
const sample = (c: string) => ({
  thrustG: 'TXs'.includes(c) ? 1.5 : c === 'w' ? 1.49 : c === '?' ? Number.NaN : 0,
  speedDps: ({ s: 200.1, f: 300.1, F: 300.1, l: 300, '?': Number.NaN } as Record<string, number>)[c] ?? 200,
  isImpact: 'XxF'.includes(c),
});
const samplesOf = (trace: string) => Array.from(trace, sample);
const firesOn = (trace: string, stab: StabSettings) => {
  const detector = new StabDetector(stab, RATE_HZ);
  return samplesOf(trace).flatMap((s, i) => (detector.step(s.thrustG, s.speedDps, s.isImpact) ? [i] : []));
};

describe('one sample after the other', () => {
  test.each<[string, Partial<StabSettings>, string, number[]]>([
    ['a sustained thrust, then an impact', {}, 'TTT.x.', [4]],
    ['a thrust of one sample too few does not count', {}, 'TT.x.', []],
    ['sustain is rounded up to whole samples', { sustainMs: 21 }, 'TTT.x', []],
    ['no sustain: one sample is enough', { sustainMs: 0 }, '.T.x', [3]],
    ['an impact in the middle of the thrust', {}, 'TTX', [2]],
    ['an impact at the last sample of the window', {}, 'TTT..x', [5]],
    ['an impact one sample after the window', {}, 'TTT...x', []],
    ['an impact too early, before the thrust has lasted', {}, 'TXT..', []],
    ['the window counts from the last sample of the thrust', {}, 'TTTTT..x', [7]],
    ['one stab a thrust: a second impact in the window does nothing', {}, 'TTT.xx', [4]],
    ['after a stab in the middle, the rest of that thrust is spent', {}, 'TTXTTTX.x', [2]],
    ['after a stab in the middle, a new thrust counts', {}, 'TTX.TTX', [2, 6]],
    ['a swinging blade does not thrust', {}, 'sssx', []],
    ['a swing in between starts the count anew', {}, 'TTsTTx', []],
    ['a weak thrust does not count', {}, 'wwwx', []],
    ['NaN ends a thrust', {}, 'TT?TTx', []],
    ['an impact alone is no stab', {}, 'x.x', []],
    ['a second thrust that does not last leaves the first waiting', {}, 'TTT.Tx', [5]],
    ['a swing between thrust and impact ends the wait', {}, 'TTT.fx', []],
    ['a swing at the impact itself does too', {}, 'TTT.F', []],
    ['a swing at the limit does not', {}, 'TTTl.x', [5]],
    ['a swing above the quiet speed alone does not', {}, 'TTTs.x', [5]],
    ['a second thrust after that swing counts anew', {}, 'TTTfTTTx', [7]],
    ['a thrust after enough quiet counts', { quietBeforeMs: 30 }, 's...TTTx', [7]],
    ['a thrust after one quiet sample too few does not', { quietBeforeMs: 30 }, 's..TTTx', []],
    ['nor later in the same thrust', { quietBeforeMs: 30 }, 's..TTTTTTTx', []],
    ['nor from the start on, where nothing is known', { quietBeforeMs: 30 }, 'TTTTTTTx', []],
    ['quiet before is rounded up to whole samples', { quietBeforeMs: 31 }, 's...TTTx', []],
    ['NaN breaks the quiet', { quietBeforeMs: 30 }, '..?..TTTx', []],
    ['a weak thrust is quiet all the same', { quietBeforeMs: 30 }, 'swwwTTTx', [7]],
    [
      'a hit for the first thrust leaves a second one that came too soon after a swing spent',
      { quietBeforeMs: 30, windowMs: 100 },
      '...TTTs.TTXTTx',
      [10],
    ],
    ['an impact for the first thrust leaves the second building', { windowMs: 40 }, 'TTT.TXTx', [5, 7]],
  ])('%s', (_name, change, trace, expected) => {
    expect(firesOn(trace, settings(change))).toEqual(expected);
  });

  test.each([
    ['thrustG', 0],
    ['sustainMs', -1],
    ['quietDps', 0],
    ['windowMs', Number.NaN],
    ['quietBeforeMs', -1],
    ['untilHitDps', 0],
  ])('%s = %s is refused by name', (name, value) => {
    expect(() => new StabDetector(settings({ [name]: value }), RATE_HZ)).toThrow(`stab.${name}`);
  });

  test('common practice: the pull of a fast swing is no stab, however hard it ends', () => {
    const trace = `.....${'s'.repeat(20)}x.`;
    expect(firesOn(trace, settings({ sustainMs: 0, windowMs: 200 }))).toEqual([]);
  });
});

describe('on any trace', () => {
  const traces = fc
    .array(fc.constantFrom(...'TTTTXxs.?fFl'), { minLength: 1, maxLength: 60 })
    .map((c) => c.join(''));
  const anySettings = fc
    .record({
      sustainMs: fc.integer({ min: 0, max: 50 }),
      quietBeforeMs: fc.integer({ min: 0, max: 60 }),
      windowMs: fc.integer({ min: 0, max: 80 }),
      untilHitDps: fc.constantFrom(150, 300, 10000),
    })
    .map(settings);
  const inSamples = (ms: number) => Math.ceil((ms * RATE_HZ) / 1000);
  const lengths = (stab: StabSettings): StabSamples => ({
    sustain: inSamples(stab.sustainMs),
    quietBefore: inSamples(stab.quietBeforeMs),
    window: inSamples(stab.windowMs),
  });

  test('it equals the reference that lists all sustained samples first', () => {
    fc.assert(
      fc.property(traces, anySettings, (trace, stab) => {
        const expected = referenceStab(samplesOf(trace), stab, lengths(stab));
        expect(firesOn(trace, stab)).toEqual(expected);
      }),
      { numRuns: 500 },
    );
  });

  test('a run over segments equals one detector a segment, with the impacts of the impact detector', () => {
    const impact = { impactG: 12, restMs: 0, allowanceGPer100Dps: 0, highPassHz: 20 };
    fc.assert(
      fc.property(traces, anySettings, fc.infiniteStream(fc.nat()), (trace, stab, cuts) => {
        const samples = samplesOf(trace);
        const segments = splitAt(trace.length, cuts);
        const signals = fakeSignals(
          {
            thrustG: samples.map((s) => s.thrustG),
            swingSpeedDps: samples.map((s) => s.speedDps),
            impactG: samples.map((s, i) => (s.isImpact && i % 2 === 0 ? 3 : 0)),
          },
          { rateHz: RATE_HZ, segments },
        );
        const expected = segments.flatMap(({ start, end }) => {
          const even = samples
            .map((s, i) => ({ ...s, isImpact: s.isImpact && i % 2 === 0 }))
            .slice(start, end);
          return referenceStab(even, stab, lengths(stab)).map((i) => i + start);
        });
        expect([...runStab(signals, stab, impact)]).toEqual(expected);
      }),
    );
  });

  test('it is causal: a change from sample k on leaves what came before', () => {
    fc.assert(
      fc.property(traces, traces, anySettings, fc.nat(), (trace, other, stab, at) => {
        const k = at % trace.length;
        const until = (fires: number[]) => fires.filter((i) => i < k);
        expect(until(firesOn(trace.slice(0, k) + other, stab))).toEqual(until(firesOn(trace, stab)));
      }),
    );
  });
});
