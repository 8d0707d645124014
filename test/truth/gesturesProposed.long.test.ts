import { describe, expect, test } from 'vitest';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { knock, thrust } from '../../scripts/simulate/contact.ts';
import { DEVICES } from '../../scripts/simulate/demo/devices.ts';
import { carry, loopingEight, onStand, reversals, swing, twist } from '../../scripts/simulate/moves.ts';
import { type SimulatedTake, simulateTake } from '../../scripts/simulate/take.ts';
import { simulatedGestures } from '../../server/engine/labels/gesturesSimulated.ts';
import { GESTURE_KINDS, type GestureKind, type GestureLabel } from '../../server/engine/labels/labels.ts';
import { proposeGestures } from '../../server/engine/truth/gesturesProposed.ts';
import { demoTake, see } from './simulated.ts';

/** Labels are matched one to one, in time order, if they lie this close. */
const NEAR_US = 50_000;

interface Matched {
  readonly known: number;
  readonly proposed: number;
  readonly right: number;
}

function match(
  known: readonly GestureLabel[],
  proposed: readonly GestureLabel[],
  kind: GestureKind,
): Matched {
  const left = proposed.filter((one) => one.kind === kind);
  const own = known.filter((one) => one.kind === kind);
  const count = left.length;
  let right = 0;
  for (const { startUs, endUs } of own) {
    const at = left.findIndex((one) => one.startUs < endUs + NEAR_US && startUs < one.endUs + NEAR_US);
    if (at < 0) continue;
    left.splice(at, 1);
    ++right;
  }
  return { known: own.length, proposed: count, right };
}

function countOn(takes: readonly SimulatedTake[], leverArmKnown = true): Record<GestureKind, Matched> {
  const total = Object.fromEntries(
    GESTURE_KINDS.map((kind) => [kind, { known: 0, proposed: 0, right: 0 }]),
  ) as Record<GestureKind, { known: number; proposed: number; right: number }>;
  for (const take of takes) {
    const known = simulatedGestures(take.truth);
    const proposed = proposeGestures(see(take, leverArmKnown ? {} : { leverArmM: 0 }).motion);
    for (const kind of GESTURE_KINDS) {
      const one = match(known, proposed, kind);
      for (const name of ['known', 'proposed', 'right'] as const) total[kind][name] += one[name];
    }
  }
  return total;
}

/** Thrusts gentle and hard, three into the air; parries with and without a blow; twists; carrying, swings and loops, which are none. */
function mixed(seed: number) {
  const c = new Choreography(seed, { tremorDps: 1 + (seed % 3), tremorMps2: 0.1, swayDeg: 0.7, spread: 0.1 });
  c.startAt({ heading: c.between(-180, 180), tilt: c.between(-40, 40), bank: c.between(-60, 60) });
  onStand(c, 1);
  c.takeInHand();
  c.wait(1);
  for (let k = 0; k < 6; ++k) {
    thrust(c, {
      driveG: c.between(1.5, 3.2),
      driveS: c.between(0.1, 0.14),
      padG: k % 3 === 2 ? null : c.between(6, 12),
    });
    c.wait(c.between(0.1, 0.5));
  }
  for (let k = 0; k < 6; ++k) {
    const side = k % 2 === 0 ? 1 : -1;
    const startS = c.nowS;
    const { endS } = swing(c, side * c.between(90, 130), c.between(0.26, 0.4));
    if (k % 3 !== 2) knock(c, startS + 0.66 * (endS - startS), -side * c.between(6, 12));
    c.wait(c.between(0.3, 0.7));
  }
  for (let k = 0; k < 6; ++k) {
    const deg = (k % 2 === 0 ? 1 : -1) * c.between(35, 130);
    twist(c, deg, c.between(0.35, 0.5) + Math.abs(deg) / 150);
    c.wait(c.between(0.3, 0.6));
  }
  carry(c, 3);
  reversals(c, c.between(130, 170), c.between(0.26, 0.4), 6);
  c.wait(0.4);
  loopingEight(c, { dps: c.between(600, 1000), durationS: 1.5 });
  c.wait(0.6);
  return c.finish();
}

function takesOf(device: keyof typeof DEVICES, rateHz: number): SimulatedTake[] {
  return Array.from({ length: 6 }, (_, k) => {
    const seed = 9000 + rateHz + 37 * k;
    const sensor = {
      name: device,
      leverArmM: [0.1 + 0.05 * k, 0, 0] as const,
      mount: { tip: '+z', side: '-x' } as const,
      ...DEVICES[device],
    };
    return simulateTake({ rateHz, sensor, choreography: mixed(seed), seed });
  });
}

/**
 * At least so many found, of 24 thrusts into a pad, 48 hits (these thrusts, and blows in mid-swing) and 36 twists; and at
 * most so many proposed that are none. Simulated hands and pads are kinder than real ones.
 */
describe.each([
  // A shock of 4 to 8 ms falls between two samples at 100 Hz, or is flattened by a low-pass of 42 Hz: of hits during a
  // swing most are lost there. Twists are told from the rates alone, at any rate.
  ['small', 100, { thrust: [15, 0], hit: [15, 6], twist: [36, 0] }],
  ['small', 200, { thrust: [20, 0], hit: [29, 3], twist: [36, 0] }],
  ['slim', 200, { thrust: [22, 0], hit: [41, 3], twist: [36, 0] }],
  ['narrow', 500, { thrust: [24, 0], hit: [47, 5], twist: [36, 0] }],
  ['wide', 1000, { thrust: [24, 0], hit: [47, 2], twist: [36, 0] }],
] as const)('six takes with the "%s" sensor at %d Hz', (device, rateHz, bounds) => {
  const takes = takesOf(device, rateHz);
  const found = countOn(takes);

  test.each(GESTURE_KINDS)('of each %s so many are proposed, and hardly anything else is', (kind) => {
    const { known, proposed, right } = found[kind];
    const [least, most] = bounds[kind];
    expect(known).toBe({ thrust: 24, hit: 48, twist: 36 }[kind]);
    expect(right).toBeGreaterThanOrEqual(least);
    expect(proposed - right).toBeLessThanOrEqual(most);
  });

  test('a lever arm that is not known costs no thrust, and makes no swing one', () => {
    expect(countOn(takes, false).thrust).toEqual(found.thrust);
  });
});

describe('on the demonstration takes', () => {
  test('nothing is proposed as thrust or hit in a take that only spins', () => {
    for (const name of ['spinner-wall-plane', 'spinner-slow-figure-eight', 'spinner-fast-figure-eight']) {
      const { thrust: thrusts, hit } = countOn([demoTake(name)]);
      expect([name, thrusts.proposed, hit.proposed]).toEqual([name, 0, 0]);
    }
  });

  test('all hits of the parry drill, all thrusts of the thrust line and all twists of the dial are proposed', () => {
    for (const [name, kind, count] of [
      ['duellist-parry-drill', 'hit', 11],
      ['duellist-thrust-line', 'thrust', 12],
      ['duellist-twist-dial', 'twist', 11],
    ] as const) {
      expect(countOn([demoTake(name)])[kind]).toEqual({ known: count, proposed: count, right: count });
    }
  });

  test('all are the program’s, in time order, and end after they start', () => {
    const proposed = proposeGestures(see(demoTake('duellist-parry-drill')).motion);
    expect(proposed.every(({ by, startUs, endUs }) => by === 'program' && endUs > startUs)).toBe(true);
    const starts = proposed.map(({ startUs }) => startUs);
    expect(starts).toEqual([...starts].sort((a, b) => a - b));
  });

  test('a motion without force proposes nothing', () => {
    const { motion } = see(demoTake('duellist-parry-drill'));
    expect(proposeGestures({ ...motion, accelXG: new Float64Array(0) })).toEqual([]);
  });
});
