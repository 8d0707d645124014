import { describe, expect, test } from 'vitest';
import type { DeflectionSettings } from '../../../server/engine/detect/deflection.ts';
import type { GuardSettings } from '../../../server/engine/detect/guard.ts';
import type { PressLabel } from '../../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import {
  extremesOver,
  findExtremes,
  lastAtOrAbove,
  nextAtOrAbove,
  nextBelow,
  nextNotAtOrAbove,
} from '../../../server/engine/statistics/extremes.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { drawnSpeed } from '../sweep/drawnSpeed.ts';
import { expectSameDeflections, expectSameGuard, expectSameStretch, extremesOfBoth } from './bothWays.ts';

const RATE_HZ = 100;

/** Long enough for several of the largest blocks, with presses, spins, gaps and NaN. */
function drawnTake(seed: number) {
  const { speed, trueSpeed, segments, random } = drawnSpeed(seed, 3000 + 700 * (seed % 17));
  const signals = fakeSignals(
    { swingSpeedDps: speed, trueSpeedDps: trueSpeed },
    { rateHz: RATE_HZ, segments },
  );
  const endUs = signals.timeUs.at(-1)!;
  const moments = Array.from({ length: 60 }, () => Math.round(random() * 1.02 * endUs)).sort((a, b) => a - b);
  const presses = moments.map((downUs, k) => {
    const upUs = k % 9 === 0 ? null : downUs + Math.round(random() * 900_000);
    return { button: 'power', downUs, upUs };
  });
  const deflectionPresses = moments.map((downUs, k) => {
    const nextUs = moments[k + 1] ?? endUs + 1;
    return { button: 'held', downUs, upUs: downUs + Math.ceil(random() * (nextUs - downUs)) };
  });
  const labels = {
    presses: presses.map(({ button, downUs }): PressLabel => {
      return { button, downUs, intent: random() < 0.5 ? 'stray' : 'wanted', by: 'person' };
    }),
  };
  const spinning = Array.from({ length: 5 }, () => {
    const startUs = Math.round(random() * endUs);
    return { startUs, endUs: startUs + Math.round((random() * endUs) / 4) };
  });
  const pressed = { ...signals, deflectionPresses };
  return { signals: pressed, presses, labels, spinning, random, extremes: extremesOfBoth(signals) };
}

const pick = <T>(random: () => number, list: readonly T[]): T => list[Math.floor(random() * list.length)]!;

function drawnGuard(random: () => number): GuardSettings {
  return {
    ...DEFAULT_CANDIDATE.guard,
    speedDps: pick(random, [5, 20, 60, 150, 240, 400, 650, 900, 3000]),
    holdMs: pick(random, [0, 1, 10, 20, 130, 600, 5000]),
    releaseRatio: pick(random, [1, 0.6, 0.05]),
    decideAt: pick(random, ['press', 'release', 'held']),
    pressLength: pick(random, ['any', 'short', 'long']),
  };
}

function drawnDeflection(random: () => number): DeflectionSettings {
  return {
    ...DEFAULT_CANDIDATE.deflection,
    speedDps: pick(random, [5, 20, 60, 150, 240, 400, 650, 900, 3000]),
    rearmRatio: pick(random, [1, 0.6, 0.05]),
    restMs: pick(random, [0, 10, 180, 2500]),
    confirmMs: pick(random, [0, 10, 50, 300]),
    switchedOn: pick(random, ['always', 'held']),
    debounceMs: pick(random, [0, 15, 80]),
  };
}

const SEEDS = Array.from({ length: 60 }, (_, k) => k + 1);

describe('from crossing to crossing', () => {
  test('a guard, its presses and its scores are those of the pass over every sample', () => {
    for (const seed of SEEDS) {
      const take = drawnTake(seed);
      for (let k = 0; k < 6; ++k)
        expectSameGuard(take, drawnGuard(take.random), pick(take.random, [0, 100, 400]));
    }
  });

  test('any stretch is told of alike', () => {
    for (const seed of SEEDS) {
      const take = drawnTake(seed);
      const guard = drawnGuard(take.random);
      for (let k = 0; k < 40; ++k) {
        const start = Math.floor(take.random() * take.signals.timeUs.length);
        expectSameStretch(
          take,
          guard,
          start,
          Math.min(take.signals.timeUs.length, start + Math.floor(take.random() * 400)),
        );
      }
    }
  });

  test('a deflection fires at the same samples', () => {
    for (const seed of SEEDS) {
      const take = drawnTake(seed);
      for (let k = 0; k < 20; ++k) expectSameDeflections(take, drawnDeflection(take.random));
    }
  });

  test('a threshold at a value that the speed has, and runs that touch across a gap', () => {
    const speed = [0, 240, 240, 0, 0, 240, 239.9, 0];
    const segments = [
      { start: 0, end: 3 },
      { start: 3, end: 6 },
      { start: 6, end: 8 },
    ];
    const signals = fakeSignals({ swingSpeedDps: speed, trueSpeedDps: speed }, { rateHz: RATE_HZ, segments });
    const take = {
      signals,
      presses: [],
      labels: { presses: [] },
      spinning: [],
      extremes: extremesOfBoth(signals),
    };
    for (const holdMs of [0, 20, 40])
      expectSameGuard(take, { ...DEFAULT_CANDIDATE.guard, speedDps: 240, holdMs }, 0);
    expectSameDeflections(take, { ...DEFAULT_CANDIDATE.deflection, speedDps: 240, restMs: 0 });
  });
});

describe('extremes', () => {
  test('the next crossing of a level, and the extremes of a stretch, equal a plain search, NaN and all', () => {
    for (const seed of SEEDS.slice(0, 20)) {
      const { speed, random } = drawnSpeed(seed, 9000);
      if (seed % 3 === 0) speed.fill(Number.NaN, 4096, 8400);
      const values = Float64Array.from(speed);
      const extremes = findExtremes(values);
      for (let k = 0; k < 300; ++k) {
        const from = Math.floor(random() * values.length);
        const to = Math.min(values.length, from + Math.floor(random() * 6000));
        const level = pick(random, [0, 10, 55, 240, 600, 1200, values[from]!]);
        const found = (is: (value: number) => boolean) => {
          const at = values.subarray(from, to).findIndex(is);
          return at < 0 ? to : from + at;
        };
        expect(nextAtOrAbove(extremes, from, to, level)).toBe(found((value) => value >= level));
        expect(nextNotAtOrAbove(extremes, from, to, level)).toBe(found((value) => !(value >= level)));
        expect(nextBelow(extremes, from, to, level)).toBe(found((value) => value < level));
        const last = values.subarray(from, to).findLastIndex((value) => value >= level);
        expect(lastAtOrAbove(extremes, from, to, level)).toBe(from + last);
        const out = new Float64Array(2);
        extremesOver(extremes, from, to, out);
        const known = values.subarray(from, to).filter((value) => !Number.isNaN(value));
        expect([...out]).toEqual([Math.min(...known), Math.max(...known)]);
      }
    }
  });
});
