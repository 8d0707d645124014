import { describe, expect, test } from 'vitest';
import { StillDetector } from '../../../server/engine/motion/stillMask.ts';
import { seededRandom } from '../../seeded.ts';

/** Steps of 100 ms, so that half a second is five samples. */
const HZ = 10;

/** '.' still, 'T' turning at 20 deg/s, 'p' pushed to 1.15 g, 'l' a force of 0.9 g, 'f' falling, '?' NaN. */
const SAMPLES: Readonly<Record<string, readonly [number, number]>> = {
  '.': [1, 1],
  T: [20, 1],
  p: [1, 1.15],
  l: [1, 0.9],
  f: [1, 0],
  '?': [Number.NaN, 1],
};

function run(trace: string, rest = new StillDetector(HZ)): string {
  return [...trace].map((sample) => (rest.step(...SAMPLES[sample]!) ? '#' : '-')).join('');
}

describe('a prop is still', () => {
  test.each([
    ['at the fifth quiet sample of five', '.......', '----###'],
    ['again only half a second after a turn', '.....T.....', '----#-----#'],
    ['where an uncalibrated force reads 0.9 g', 'lllll', '----#'],
    ['not at the moment of a push', '.....p.....', '----#-----#'],
    ['half a second after a push that stays, as a force of its own', '.....pppppp', '----#----##'],
    ['never in free fall', 'ffffffff', '--------'],
    ['not where a rate is no number', '.....?.....', '----#-----#'],
  ])('%s', (_name, trace, expected) => {
    expect(run(trace)).toBe(expected);
  });

  test('a force that creeps is no rest, though each step is small', () => {
    const rest = new StillDetector(HZ);
    const creeping = Array.from({ length: 30 }, (_, i) => rest.step(1, 0.85 + 0.01 * i));
    // 0.06 g lie six or seven samples apart, so that a rest ends as soon as it began
    expect(creeping.filter(Boolean).length).toBeLessThan(12);
    expect(creeping.some((still) => !still)).toBe(true);
  });

  test('at a rate that makes less than one sample of half a second, at the first quiet one', () => {
    expect(run('T..', new StillDetector(1))).toBe('-##');
  });

  test('after a reset as at the start; whatever came later changes nothing before it', () => {
    const random = seededRandom(6);
    const letters = Object.keys(SAMPLES);
    const trace = Array.from({ length: 400 }, () =>
      random() < 0.85 ? '.' : letters[(6 * random()) | 0]!,
    ).join('');
    const whole = run(trace);
    for (const cut of [1, 50, 233]) {
      expect(run(`${trace.slice(0, cut)}${'T'.repeat(400 - cut)}`).slice(0, cut)).toBe(whole.slice(0, cut));
    }
    const again = new StillDetector(HZ);
    run('......', again);
    again.reset();
    expect(run(trace, again)).toBe(whole);
  });
});
