import { describe, expect, test } from 'vitest';
import type { MotionLog, Press } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import type { SmoothingSettings } from '../../server/engine/filter/smoothing.ts';
import { EMPTY_LABELS, type Labels } from '../../server/engine/labels/labels.ts';
import { computeMotion, computeRateMotion } from '../../server/engine/motion/motion.ts';
import { computeSignals, computeSpeedSignals } from '../../server/engine/motion/signals.ts';
import { NO_DIAL } from '../../server/engine/score/dialScore.ts';
import { evaluate } from '../../server/engine/score/evaluate.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE, withField } from '../../server/engine/settings/candidateRules.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import { compareTake, judgeTake, needsForce } from '../../web/compare/compareTake.ts';
import { gridBasisOf } from '../../web/compare/gridBasis.ts';
import type { Request } from '../../web/takes/requests.ts';
import { seededNormal } from '../seeded.ts';

const RATE_HZ = 200;
const SECONDS = 40;

/** Spins of four seconds with rests between, noise on everything, a hole from 17 s to 18.5 s, and a few blows. */
function log(): MotionLog {
  const normal = seededNormal(41);
  const kept = Array.from({ length: SECONDS * RATE_HZ }, (_, i) => i / RATE_HZ).filter(
    (tS) => tS < 17 || tS > 18.5,
  );
  const column = (value: (tS: number) => number) => Float64Array.from(kept, value);
  const speed = (tS: number) => (tS % 8 < 4 ? 600 * Math.sin(2 * Math.PI * tS) : 0);
  return {
    timeUs: column((tS) => Math.round(tS * 1e6)),
    gyroXDps: column((tS) => (tS % 8 < 4.5 ? 40 * Math.sin(3 * tS) : 0) + 0.2 * normal()),
    gyroYDps: column((tS) => 0.4 * speed(tS) + 0.2 * normal()),
    gyroZDps: column((tS) => speed(tS) + 0.2 * normal()),
    accelXG: column((tS) => 0.004 * normal() + (tS % 8 > 5 && tS % 8 < 5.1 ? 2.5 : 0)),
    accelYG: column((tS) => 0.004 * normal() + (tS % 8 > 5.1 && tS % 8 < 5.11 ? 8 : 0)),
    accelZG: column(() => 1 + 0.004 * normal()),
  };
}

const presses: Press[] = Array.from({ length: 30 }, (_, i) => ({
  button: i % 7 === 6 ? 'aux' : 'power',
  downUs: 400_000 + 1_310_000 * i,
  upUs: 500_000 + 1_310_000 * i,
}));
const powerPresses = presses.filter(({ button }) => button === 'power');
const pressLabels = powerPresses.slice(0, 24).map(({ downUs, button }, i) => ({
  downUs,
  button,
  intent:
    i % 9 === 8 ? ('unsure' as const) : (downUs / 1e6) % 8 < 4 ? ('stray' as const) : ('wanted' as const),
  by: 'person' as const,
}));
const withoutGestures: Labels = { ...EMPTY_LABELS, presses: pressLabels };
const withGestures: Labels = {
  ...withoutGestures,
  gestures: [5, 13, 21].map((tS) => ({
    startUs: tS * 1e6,
    endUs: tS * 1e6 + 150_000,
    kind: 'thrust',
    by: 'person',
  })),
};
const withSpins: Labels = {
  ...withoutGestures,
  spans: [{ startUs: 8_000_000, endUs: 12_000_000, kind: 'spinning', by: 'person' }],
};
const candidates = [
  DEFAULT_CANDIDATE,
  withField(DEFAULT_CANDIDATE, 'guard.holdMs', 150),
  withField(DEFAULT_CANDIDATE, 'smoothing.cutoffHz', 8),
];
const { uniform } = buildTimeBase(log());

function compared(labels: Labels, rest: { wantsStock?: boolean; sweepAs?: Candidate } = {}) {
  const request: Request<'compare'> = {
    kind: 'compare',
    content: { signals: '', labels: '' },
    takeId: 't',
    columns: 'read so',
    calibration: DEFAULT_CALIBRATION,
    presses,
    powerPresses,
    deflectionPresses: null,
    labels,
    wantsFacts: true,
    wantsStock: rest.wantsStock ?? false,
    candidates,
    sweepAs: rest.sweepAs ?? DEFAULT_CANDIDATE,
  };
  const whole = needsForce(request) ? computeMotion(uniform, DEFAULT_CALIBRATION) : null;
  const motion = whole ?? computeRateMotion(uniform, DEFAULT_CALIBRATION);
  const speedOf = (smoothing: SmoothingSettings) => computeSpeedSignals(motion, smoothing);
  return compareTake({ motion, whole, speedOf }, request);
}

function evaluated(labels: Labels, candidate = DEFAULT_CANDIDATE) {
  const motion = computeMotion(uniform, DEFAULT_CALIBRATION);
  const signals = computeSignals(motion, candidate, presses);
  return evaluate(signals, powerPresses, labels, candidate, motion);
}

describe.each([
  ['without labels of gestures, where the swing speed is all that is computed', withoutGestures],
  ['with labels of gestures', withGestures],
  ['with a labelled spin', withSpins],
])('compareTake %s', (_name, labels) => {
  const { scores, facts, swept } = compared(labels);
  const grid = swept!.grid;

  test.each([0, 1, 2])('gives candidate %i what the Tune view gives it', (i) => {
    const whole = evaluated(labels, candidates[i]);
    expect(scores[i]!.guard).toEqual(whole.guardScore);
    expect(scores[i]!.deflection).toEqual(whole.deflectionScore);
    if (labels.gestures) expect(scores[i]!.gestures).toEqual(whole.gestureScores);
    else if (labels !== withSpins) expect(scores[i]!.dial).toEqual(NO_DIAL);
    if (labels === withSpins) {
      expect(scores[i]!.dial).toEqual(whole.dialScore);
      // the grip turns to and fro by 13 degrees either side
      expect(whole.dialScore).toMatchObject({ outside: null, spinning: expect.any(Number) });
      expect(whole.dialScore.steps).toBeGreaterThan(0);
    }
    if (labels.gestures) expect(scores[i]!.dial).toEqual(whole.dialScore);
    else expect(whole.gestureScores.stab).toMatchObject({ hit: { n: 0 }, falseFires: null });
  });

  test('every labelled press that could be judged is right or wrong as the counts say', () => {
    const { guard, presses: outcomes } = scores[0]!;
    const wrong = (intent: string) => outcomes.filter((one) => one.intent === intent && !one.isRight).length;
    expect(outcomes).toHaveLength(guard.falseAccepts.n + guard.falseRejects.n);
    expect(wrong('stray')).toBe(guard.falseAccepts.k);
    expect(wrong('wanted')).toBe(guard.falseRejects.k);
    expect(guard.falseAccepts.k).toBeGreaterThan(0);
  });

  test('the grid’s cell of a candidate holds its counts', () => {
    const at = grid.xs.indexOf(240) * grid.ys.length + grid.ys.indexOf(150);
    expect(grid.wrong.strays[at]).toBe(scores[1]!.guard.falseAccepts.k);
    expect(grid.wrong.wanted[at]).toBe(scores[1]!.guard.falseRejects.k);
  });

  test('the peaks are those of the swings, rising', () => {
    const { swings } = findTruth(computeMotion(uniform, DEFAULT_CALIBRATION), labels);
    expect([...facts!.peaksDps]).toEqual(swings.map(({ peakDps }) => peakDps).sort((a, b) => a - b));
    expect(facts!.proposedSwings).toBe(swings.length);
    const { strays, wanted } = swept!.evidence;
    expect([strays, wanted]).toEqual([scores[0]!.guard.falseAccepts.n, scores[0]!.guard.falseRejects.n]);
  });
});

test('a grid goes by the rules of the button as well, and so does its name; speed and hold are what it goes over', () => {
  const plain = DEFAULT_CANDIDATE;
  const long = withField(plain, 'guard.pressLength', 'long');
  const [any, others] = [plain, long].map((sweepAs) => compared(withoutGestures, { sweepAs }).swept!.grid);
  expect(others!.wrong.wanted).not.toEqual(any!.wrong.wanted);
  const debounced = withField(plain, 'guard.debounceMs', 20);
  const limited = withField(plain, 'guard.heldLimitMs', 200);
  const bases = [plain, long, debounced, limited, candidates[2]!].map((one) =>
    JSON.stringify(gridBasisOf(one)),
  );
  expect(new Set(bases).size).toBe(5);
  const moved = withField(withField(plain, 'guard.speedDps', 300), 'guard.holdMs', 150);
  expect(gridBasisOf(moved)).toEqual(gridBasisOf(plain));
});

test('judging presses by the swing speed alone decides as evaluate does', () => {
  for (const candidate of candidates) {
    const signals = computeSpeedSignals(computeRateMotion(uniform, DEFAULT_CALIBRATION), candidate.smoothing);
    const verdicts = judgeTake(signals, candidate, powerPresses);
    expect(verdicts).toEqual(evaluated(withoutGestures, candidate).verdicts);
  }
});

test('stock is counted only where it is asked for, rest and all', () => {
  expect(compared(withoutGestures).stock).toBe(null);
  const { stock } = compared(withoutGestures, { wantsStock: true });
  expect(stock!.stillS).toBeGreaterThan(8);
  expect(stock!.straysInSpin).toBeGreaterThan(0);
});
