import type { Side } from '../../choose/borders.ts';
import type { GestureMapKind } from '../../choose/gestures/maps.ts';
import type { ProblemKind } from '../../choose/problem.ts';
import { DETECTORS } from '../../detect/detectors.ts';
import type { GesturePart } from '../../sweep/gestureSweep.ts';
import { SWING_MIN_PEAK_DPS } from '../../truth/swings.ts';
import { counted } from '../count.ts';

/** What is counted, as in "1 swing" and "2 swings". */
interface Noun {
  readonly one: string;
  readonly several: string;
}

export interface AxisWords {
  readonly unit: string;
  /** As in "a thrust of 1 g"; without it a value stands for itself. */
  readonly noun?: string;
  /** How the end of what was tried is told, as in "the fastest tried"; a limit of the setting itself is not. */
  readonly much?: 'fast' | 'long';
  readonly isLimited?: true;
}

/** How one problem is told: what its settings, its counts and its ends are called. */
interface ProblemWords {
  readonly x: AxisWords;
  readonly y: AxisWords;
  /** A setting as a headline, and for a table. */
  setting(x: number, y: number): string;
  brief(x: number, y: number): string;
  /** By what rule it is chosen. */
  readonly rule: string;
  /** What is judged. */
  readonly judged: string;
  /** One of it, as in "no press wrong". */
  readonly unit: string;
  /** Sizes that a choice needs. */
  readonly needs: Readonly<Record<string, Noun>>;
  /** What is claimed of: parts that go wrong together, what of, and what goes wrong. */
  readonly claims: readonly (Noun & { readonly parts: readonly string[]; readonly wrong: string })[];
  /** What each part counts, as in "2 stray presses let through". */
  readonly counts: Readonly<Record<string, Noun>>;
  /** What more of each part comes to beyond a border. */
  readonly worse: Readonly<Record<string, (count: number) => string>>;
  /** Where nothing gets worse on a side, or nothing was tried. */
  openEnd(side: Side, last: number): string;
}

const MORE_OPEN = {
  reversals: (count: number) => `${counted(count, 'more reversal')} would be open`,
  quietS: (seconds: number) => `${seconds.toFixed(1)} s more of quiet time would be closed`,
};

const GUARD_WORDS: ProblemWords = {
  x: { unit: '°/s', much: 'fast' },
  y: { unit: 'ms', much: 'long' },
  setting: (x, y) => `${x} °/s, hold ${y} ms`,
  brief: (x, y) => `${x} °/s · ${y} ms`,
  rule: 'The shortest hold',
  judged: 'presses',
  unit: 'press',
  needs: {
    strays: { one: 'stray press', several: 'stray presses' },
    wanted: { one: 'wanted press', several: 'wanted presses' },
  },
  claims: [
    { parts: ['strays'], one: 'stray press', several: 'stray presses', wrong: 'let through' },
    { parts: ['wanted'], one: 'wanted press', several: 'wanted presses', wrong: 'refused' },
  ],
  counts: {
    strays: { one: 'stray press let through', several: 'stray presses let through' },
    wanted: { one: 'wanted press refused', several: 'wanted presses refused' },
  },
  worse: {
    strays: (count) => `${counted(count, 'stray press', 'stray presses')} would be let through`,
    wanted: (count) => `${counted(count, 'wanted press', 'wanted presses')} would be refused`,
    ...MORE_OPEN,
  },
  openEnd: ({ axis, by }, last) =>
    axis === 'x'
      ? speedEnd(by, last, 'No press', 'wanted presses in a brisk carry might')
      : by < 0
        ? 'Even without a hold it would do as well here: no press or reversal needs one.'
        : `Above ${last} ms nothing was tried: no press here tells how long the hold may be. Record wanted presses soon after a stop.`,
};

const MOTION_WORDS: ProblemWords = {
  ...GUARD_WORDS,
  judged: 'spins and stops',
  unit: 'spin or stop',
  needs: { strays: { one: 'spin', several: 'spins' }, wanted: { one: 'stop', several: 'stops' } },
  claims: [
    { parts: ['strays'], one: 'spin', several: 'spins', wrong: 'open too long' },
    { parts: ['wanted'], one: 'stop', several: 'stops', wrong: 'late' },
  ],
  counts: {
    strays: { one: 'spin open too long', several: 'spins open too long' },
    wanted: { one: 'stop late', several: 'stops late' },
  },
  worse: {
    strays: (count) => `${counted(count, 'spin')} would be open too long`,
    wanted: (count) => `${counted(count, 'stop')} would be late`,
    ...MORE_OPEN,
  },
  openEnd: ({ axis, by }, last) =>
    axis === 'x'
      ? speedEnd(by, last, 'No stop', 'a brisk carry might')
      : by < 0
        ? 'Even without a hold it would do as well here: no spin needs one.'
        : `Above ${last} ms nothing was tried: no stop here tells how long the hold may be.`,
};

const SWING = { one: 'swing', several: 'swings' };

const DEFLECTION_WORDS: ProblemWords = {
  x: { unit: '°/s', much: 'fast' },
  y: { unit: '', noun: 'a re-arm', isLimited: true },
  setting: (x, y) => `${x} °/s, re-arm below ${y} of it`,
  brief: (x, y) => `${x} °/s · ${y}`,
  rule: 'The most central setting',
  judged: 'swings',
  unit: 'swing',
  needs: { swings: SWING },
  claims: [{ parts: ['missed', 'twice'], ...SWING, wrong: 'missed or doubled' }],
  counts: {
    missed: { one: 'swing missed', several: 'swings missed' },
    twice: { one: 'swing that fires twice', several: 'swings that fire twice' },
    outside: { one: 'fire outside any swing', several: 'fires outside any swing' },
  },
  worse: {
    missed: (count) => `${counted(count, 'more swing')} would be missed`,
    twice: (count) => `${counted(count, 'more swing')} would fire twice`,
    outside: (count) => `${counted(count, 'more fire')} would come outside any swing`,
  },
  openEnd: ({ axis, by }, last) =>
    axis === 'x'
      ? speedEnd(by, last, 'No fire outside a swing', 'a brisk carry might bring some')
      : by < 0
        ? `Below a re-arm of ${last} nothing was tried: no swing here comes so close upon another that it needs more.`
        : `Even a re-arm of ${last} does as well here: no swing wavers about the speed at which it fires.`,
};

function speedEnd(by: -1 | 1, last: number, nothing: string, but: string): string {
  if (by > 0) return `Above ${last} °/s nothing was tried.`;
  if (last >= SWING_MIN_PEAK_DPS + 10) return `Below ${last} °/s nothing was tried.`;
  return `Below ${last} °/s is no swing, so nothing is suggested there. ${nothing} here speaks against a speed as low as that; ${but}.`;
}

/** What a map's gestures and fires are called. */
interface GestureNames extends Noun {
  /** What fires. */
  readonly fire: string;
  readonly fires: string;
  /** What to record, and how to label it. */
  readonly record: string;
}

export const GESTURE_NAMES: Readonly<Record<GestureMapKind, GestureNames>> = {
  stab: {
    ...DETECTORS.stab.names,
    record:
      'Record thrusts into a pad as you do on stage, gentle ones and hard ones, with swings and parries between them, and label each thrust in Tune.',
  },
  impact: {
    ...DETECTORS.impact.names,
    record:
      'Record hits as you do on stage, light ones and hard ones, with fast swings that meet nothing between them, and label each hit in Tune.',
  },
  twist: {
    ...DETECTORS.twist.names,
    record:
      'Record twists as you do on stage, slow ones and quick ones, with swings and a carry between them, and label each twist in Tune.',
  },
};

const OTHERS = { one: 'other movement', several: 'other movements' };

function gestureWords(
  kind: GestureMapKind,
  own: Pick<ProblemWords, 'x' | 'y' | 'setting' | 'brief'>,
): ProblemWords {
  const { one, several, fire, fires } = GESTURE_NAMES[kind];
  const worse: Readonly<Record<GesturePart, (count: number) => string>> = {
    missed: (count) => `${counted(count, `more ${one}`, `more ${several}`)} would be missed`,
    again: (count) => `${counted(count, `more ${one}`, `more ${several}`)} would fire again`,
    outside: (count) => `${counted(count, `more ${fire}`, `more ${fires}`)} would come outside any ${one}`,
  };
  return {
    ...own,
    rule: 'The most central setting',
    judged: several,
    unit: one,
    needs: { gestures: { one, several }, others: OTHERS },
    claims: [{ parts: ['missed'], one, several, wrong: 'missed' }],
    counts: {
      missed: { one: `${one} missed`, several: `${several} missed` },
      again: { one: `further ${fire} at the same ${one}`, several: `further ${fires} at the same ${one}` },
      outside: { one: `${fire} outside any ${one}`, several: `${fires} outside any ${one}` },
    },
    worse,
    openEnd: ({ axis, by }, last) =>
      last === 0 && by < 0
        ? `Even ${placed(own[axis], 0)} does as well here.`
        : `${by < 0 ? 'Below' : 'Above'} ${placed(own[axis], last)} nothing was tried: no ${by < 0 ? fire : one} here speaks against it.`,
  };
}

export const PROBLEM_WORDS: Readonly<Record<ProblemKind, ProblemWords>> = {
  guard: GUARD_WORDS,
  motion: MOTION_WORDS,
  deflection: DEFLECTION_WORDS,
  stab: gestureWords('stab', {
    x: { noun: 'a thrust', unit: 'g' },
    y: { noun: 'a quiet time', unit: 'ms' },
    setting: (x, y) => `${x} g after ${y} ms of quiet`,
    brief: (x, y) => `${x} g · ${y} ms`,
  }),
  impact: gestureWords('impact', {
    x: { noun: 'a level', unit: 'g' },
    y: { noun: 'a rise', unit: 'g per 100 °/s' },
    setting: (x, y) => `${x} g, rising ${y} g per 100\u00a0°/s`,
    brief: (x, y) => `${x} g · ${y} g`,
  }),
  twist: gestureWords('twist', {
    x: { noun: 'a turn', unit: '°' },
    y: { noun: 'a time', unit: 'ms' },
    setting: (x, y) => `${x}° within ${y} ms`,
    brief: (x, y) => `${x}° · ${y} ms`,
  }),
};

/** A value on its axis, as in "190 °/s" and "a thrust of 1 g". */
export function placed({ noun, unit }: AxisWords, value: number): string {
  return `${noun === undefined ? '' : `${noun} of `}${withUnit(value, unit)}`;
}

export function withUnit(value: number, unit: string): string {
  return unit === '°' ? `${value}°` : `${value} ${unit}`.trimEnd();
}

export const STRESS_WORDS: Readonly<Record<string, string>> = {
  gyroMore: 'gyro reads 3 % more',
  gyroLess: 'gyro reads 3 % less',
  forceMore: 'force reads 3 % more',
  forceLess: 'force reads 3 % less',
  mount: 'mount off by 5°',
  bias: 'bias off by 2 °/s',
  arm: 'lever arm off by 2 cm',
  halfRate: 'half the sample rate',
  rateNoise: 'noise of 3 °/s added',
  noise: 'noise of 3 °/s, 20 mg',
};
