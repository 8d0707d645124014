import { describe, expect, test } from 'vitest';
import { DEG_PER_RAD, RAD_PER_DEG } from '../../../server/engine/base/units.ts';
import { OrientationFilter } from '../../../server/engine/orientation/gravityFilter.ts';
import { slowGravity } from '../../reference/gravity.ts';
import type { Vector } from '../../reference/rotation.ts';
import { seededNormal, seededRandom } from '../../seeded.ts';

type Sample = readonly [number, number, number, number, number, number];

function step(filter: OrientationFilter, sample: Sample): Vector {
  filter.step(...sample);
  return [filter.upX, filter.upY, filter.upZ];
}

function run(samples: readonly Sample[], sampleHz: number, leverArmM = 0): Vector[] {
  const filter = new OrientationFilter(sampleHz, leverArmM);
  return samples.map((sample) => step(filter, sample));
}

function noise(seed: number, length: number): Sample[] {
  const normal = seededNormal(seed);
  return Array.from({ length }, () => {
    const [gx, gy, gz] = [90 * normal(), 200 * normal(), 300 * normal()];
    return [gx, gy, gz, 0.3 * normal(), 0.3 * normal(), 1 + 0.3 * normal()] as const;
  });
}

function angleDeg(a: Vector, b: Vector): number {
  const cross = Math.hypot(a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]);
  return Math.atan2(cross, a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) * DEG_PER_RAD;
}

describe('at rest', () => {
  test.each([
    ['level', [0, 0, 1]],
    ['tip up', [1, 0, 0]],
    ['upside down', [0, 0, -1]],
    ['on its side', [0, -0.6, 0.8]],
    ['with a scale error', [0, 0.66, 0.88]],
  ] as const)('%s: up is where the force points, from the first sample on', (_, force) => {
    const size = Math.hypot(...force);
    // An estimate that agrees with the force leaves nothing to correct: nothing may be divided by that nothing.
    for (const up of run(new Array(900).fill([0, 0, 0, ...force]), 100)) {
      expect(angleDeg(up, force.map((part) => part / size) as unknown as Vector)).toBeLessThan(1e-6);
      expect(Math.hypot(...up)).toBeCloseTo(1, 12);
    }
  });

  test('noise of 8 mg, half a degree, is averaged away', () => {
    const normal = seededNormal(2);
    const samples = Array.from(
      { length: 500 },
      () => [0, 0, 0, 0.008 * normal(), 0.008 * normal(), 1] as const,
    );
    const ups = run(samples, 100);
    // 8 mg are 0.46°, over the first 50 samples a seventh of that on each axis: 0.09° in all, three times that at worst
    for (const up of ups.slice(50)) expect(angleDeg(up, [0, 0, 1])).toBeLessThan(0.25);
  });
});

describe('rates alone', () => {
  /** One sample of force, then rates only. */
  function turned(sampleHz: number, samples: number, rate: (tS: number) => Vector): OrientationFilter {
    const filter = new OrientationFilter(sampleHz);
    filter.step(...rate(0), 0, 0, 1);
    for (let n = 1; n <= samples; ++n) filter.step(...rate(n / sampleHz), Number.NaN, Number.NaN, Number.NaN);
    return filter;
  }

  // Closed form of a constant body rate over one second [recomputed]
  test.each([
    [100, [10, 20, 30], [0.947163896209, 0.085724039684, 0.171448079369, 0.257172119053]],
    [100, [100, 200, 300], [-0.992368848697, -0.032954587948, -0.065909175896, -0.098863763844]],
    [1000, [360, 0, 0], [-1, 0, 0, 0]],
  ] as const)(
    '%d Hz: one second at %j deg/s turns by the exponential map, without drift',
    (sampleHz, rate, expected) => {
      const { q } = turned(sampleHz, sampleHz, () => rate);
      expected.forEach((part, k) => {
        expect(q[k]!).toBeCloseTo(part, 10);
      });
    },
  );

  test('at 1000 deg/s and 10 ms, where q += ½ q ω dt would lag by 2.53 deg/s, there is no lag', () => {
    const { q } = turned(100, 100, () => [0, 0, 1000]);
    // 1000° after a second are two whole turns and 280°
    expect(2 * Math.atan2(q[3]!, q[0]!) * DEG_PER_RAD).toBeCloseTo(280, 8);
  });

  describe('coning of 10° at 5 Hz', () => {
    // Body rates of an attitude that is a turn by `a` about (cos Ωt, sin Ωt, 0): Goodman and Robinson 1958, Bortz 1971
    // (cited from memory) [closed form recomputed]
    const [a, w] = [10 * RAD_PER_DEG, 2 * Math.PI * 5];
    const rate = (tS: number): Vector => [
      -w * Math.sin(a) * Math.sin(w * tS) * DEG_PER_RAD,
      w * Math.sin(a) * Math.cos(w * tS) * DEG_PER_RAD,
      -2 * w * Math.sin(a / 2) ** 2 * DEG_PER_RAD,
    ];
    /** How far from where it began, after five whole cones. */
    const driftDeg = (sampleHz: number) => {
      const { q } = turned(sampleHz, sampleHz, rate);
      return 2 * Math.asin(Math.hypot(q[1]!, q[2]!, q[3]!)) * DEG_PER_RAD;
    };

    test('the rate about the blade is -27.346 deg/s all along, though the attitude comes back', () => {
      expect(rate(0.3)[2]).toBeCloseTo(-27.346044578, 8);
      expect(driftDeg(4000)).toBeLessThan(0.001);
    });

    test('what sampling leaves falls by four with each doubling of the rate', () => {
      const drifts = [100, 200, 400, 800].map(driftDeg);
      for (let k = 1; k < drifts.length; ++k) {
        const ratio = drifts[k - 1]! / drifts[k]!;
        expect(ratio).toBeGreaterThan(3.8);
        expect(ratio).toBeLessThan(4.2);
      }
    });
  });
});

describe('a force that stands askew is followed as by a Butterworth filter of order 2 at 0.12 Hz', () => {
  // 50 % at ω_c t = 1.4332788, overshoot e^-π = 4.3214 % at ω_c t = π√2 [recomputed]
  const wc = 2 * Math.PI * 0.12;
  const tiltDeg = 2;
  const samples = Array.from({ length: 1500 }, (_, n): Sample => {
    const tilt = n < 100 ? 0 : tiltDeg * RAD_PER_DEG;
    return [0, 0, 0, Math.sin(tilt), 0, Math.cos(tilt)];
  });
  const seen = run(samples, 100).map((up) => Math.atan2(up[0], up[2]) * DEG_PER_RAD);
  const at = (sinceS: number) => seen[100 + Math.round(sinceS * 100)]! / tiltDeg;

  test('half-way after 1.9 s', () => expect(at(1.4332788 / wc)).toBeCloseTo(0.5, 2));
  test('over by 4.3 % after 5.9 s', () => expect(at(4.442882938 / wc)).toBeCloseTo(1.0432, 3));
});

describe.each([0, 0.2])('with a lever arm of %d m', (leverArmM) => {
  const samples = noise(5, 700);

  test('agrees with the long way round by matrices', () => {
    const rates = samples.map(([x, y, z]) => [x, y, z] as const);
    const forces = samples.map(([, , , x, y, z]) => [x, y, z] as const);
    const slow = slowGravity(rates, forces, 200, leverArmM);
    run(samples, 200, leverArmM).forEach((up, n) => {
      expect(angleDeg(up, slow[n]!)).toBeLessThan(1e-6);
    });
  });

  test('gives the same, bit for bit, in chunks of any length beside another stream, and after a reset', () => {
    const whole = run(samples, 200, leverArmM);
    const random = seededRandom(6);
    const [one, other] = [new OrientationFilter(200, leverArmM), new OrientationFilter(200, leverArmM)];
    for (const sample of noise(7, 300)) one.step(...sample);
    one.reset();
    const chunked: Vector[] = [];
    while (chunked.length < samples.length) {
      const end = Math.min(samples.length, chunked.length + 1 + Math.floor(50 * random()));
      for (const sample of samples.slice(chunked.length, end)) chunked.push(step(one, sample));
      for (const sample of noise(8, 3)) other.step(...sample);
    }
    expect(chunked).toEqual(whole);
  });

  test('a later sample changes no earlier estimate', () => {
    const other = samples.with(400, [0, 0, 0, 9, 9, 9]);
    const [a, b] = [run(samples, 200, leverArmM), run(other, 200, leverArmM)];
    expect(b.slice(0, 400)).toEqual(a.slice(0, 400));
    expect(b[400]).not.toEqual(a[400]);
  });
});

describe('numbers that are none', () => {
  const samples = noise(9, 200);
  test('a whole sample of them is as if it had not come', () => {
    const none: Sample = [Number.NaN, 0, 0, 0, 0, Number.NaN];
    const filter = new OrientationFilter(200);
    const ups = [none, ...samples.slice(0, 90), none, ...samples.slice(90)].map((sample) =>
      step(filter, sample),
    );
    expect(ups[0]).toEqual([0, 0, 1]);
    expect([...ups.slice(1, 91), ...ups.slice(92)]).toEqual(run(samples, 200));
    expect(ups[91]).toEqual(ups[90]);
  });

  test('a force that is none still lets the rates turn the estimate', () => {
    const filter = new OrientationFilter(100);
    step(filter, [0, 0, 0, 0, 0, 1]);
    for (let n = 0; n < 100; ++n) step(filter, [90, 0, 0, Number.NaN, 0, 0]);
    // 99.5 steps of 0.9°: the first is the mean of 0 and 90 deg/s
    expect(angleDeg([filter.upX, filter.upY, filter.upZ], [0, 0, 1])).toBeCloseTo(89.55, 8);
  });

  test('without any force, as in free fall, up stays where it was', () => {
    const filter = new OrientationFilter(100);
    for (const up of new Array(50).fill([0, 0, 0, 0, 0, 0]).map((sample) => step(filter, sample)))
      expect(up).toEqual([0, 0, 1]);
  });
});

test.each([0, -100, Number.NaN])('a rate of %d Hz is refused', (sampleHz) => {
  expect(() => new OrientationFilter(sampleHz)).toThrow(`sampleHz must be above 0, got ${sampleHz}`);
});

test('a lever arm that is no number is refused; one of 1 Hz is a rate like any other', () => {
  expect(() => new OrientationFilter(100, Number.NaN)).toThrow('leverArmM must be a number, got NaN');
  expect(run([[0, 0, 0, 0, 1, 0]], 1)[0]).toEqual([0, 1, 0]);
  expect(run([[0, 0, 0, 0, 1, 0]], 0.1)[0]).toEqual([0, 1, 0]);
});

/** Order 2 leaves 1 / √(1 + (f / 0.12 Hz)⁴). */
test.each([
  [0.12, Math.SQRT1_2],
  [0.06, 0.97],
  [0.24, 0.243],
])(
  'a hand that moves at %d Hz tilts it by its force times %d: 3 dB less at the corner of 0.12 Hz',
  (hz, gain) => {
    const sampleHz = 100;
    const filter = new OrientationFilter(sampleHz);
    const forceG = 0.02;
    let most = 0;
    for (let i = 0; i < 200 * sampleHz; ++i) {
      filter.step(0, 0, 0, forceG * Math.sin((2 * Math.PI * hz * i) / sampleHz), 0, 1);
      if (i > 100 * sampleHz) most = Math.max(most, filter.upX);
    }
    expect(most / forceG).toBeCloseTo(gain, 2);
  },
);
