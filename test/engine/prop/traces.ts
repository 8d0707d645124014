import type { MotionColumns, Segment } from '../../../server/engine/base/log.ts';
import { listMounts } from '../../../server/engine/base/mount.ts';
import { samplesFromMs } from '../../../server/engine/base/sampleCount.ts';
import type { SmoothingSettings } from '../../../server/engine/filter/smoothing.ts';
import type { PropBuild } from '../../../server/engine/prop/c99/constants.ts';
import { PropDetectors } from '../../../server/engine/prop/propDetectors.ts';
import { DEFAULT_CANDIDATE, validateCandidate } from '../../../server/engine/settings/candidateRules.ts';
import { seededNormal, seededRandom } from '../../seeded.ts';
import { CHANNELS, EVENTS, FIELDS_IN, FIELDS_OUT } from './compiled.ts';

export type Rates = readonly [number, number, number];

/** Samples as a prop meets them. */
export interface Trace extends MotionColumns {
  readonly segments: readonly Segment[];
  /** 1 where a button has gone down since the sample before. */
  readonly downs: Uint8Array;
  /** 1 where the power button is down, and the one that deflections may wait for. */
  readonly power: Uint8Array;
  readonly held: Uint8Array;
}

const SMOOTHINGS: readonly Partial<SmoothingSettings>[] = [
  { kind: 'none' },
  { kind: 'firstOrder', cutoffHz: 18 },
  { kind: 'butterworth', order: 1, cutoffHz: 30 },
  { kind: 'butterworth', order: 2, cutoffHz: 25 },
  { kind: 'butterworth', order: 4, cutoffHz: 40 },
  { kind: 'movingAverage', lengthMs: 24 },
  { kind: 'median', lengthMs: 15 },
  { kind: 'median', lengthMs: 28 },
];

/** Settings as different as they may be, at different rates; every kind of smoothing and of start among them. */
export function randomBuild(seed: number): PropBuild {
  const random = seededRandom(seed);
  const from = (low: number, high: number) => low + (high - low) * random();
  const one = <T>(choices: readonly T[]): T => choices[Math.floor(choices.length * random())]!;
  const { guard, impact, stab, twist, smoothing } = DEFAULT_CANDIDATE;
  const candidate = validateCandidate({
    smoothing: { ...smoothing, ...SMOOTHINGS[seed % SMOOTHINGS.length] },
    guard: {
      ...guard,
      speedDps: from(60, 400),
      holdMs: one([0, from(0, 400)]),
      releaseRatio: one([1, from(0.4, 1)]),
      decideAt: one(['press', 'release', 'held'] as const),
      heldLimitMs: one([0, from(50, 800)]),
      pressLength: one(['any', 'any', 'short', 'long'] as const),
      longFromMs: from(50, 500),
      debounceMs: one([0, from(0, 40)]),
    },
    deflection: {
      speedDps: from(100, 500),
      rearmRatio: from(0.3, 1),
      restMs: from(0, 400),
      confirmMs: one([0, from(0, 60)]),
      switchedOn: one(['always', 'held'] as const),
      debounceMs: one([0, from(0, 40)]),
    },
    impact: {
      ...impact,
      impactG: from(1, 4),
      restMs: from(0, 200),
      highPassHz: one([impact.highPassHz, from(5, 60)]),
    },
    stab: { ...stab, thrustG: from(0.5, 1.5), sustainMs: from(0, 40), quietBeforeMs: one([0, from(0, 250)]) },
    twist: {
      ...twist,
      angleDeg: from(20, 90),
      windowMs: from(200, 900),
      degPerStep: from(5, 30),
      quietDps: from(100, 2000),
      startAt: one(['takeStart', 'rest', 'hold'] as const),
    },
  });
  return {
    candidate,
    calibration: {
      mount: one(listMounts()),
      accelScale: one([1, from(0.9, 1.1)]),
      leverArmM: one([0, from(0.1, 0.7)]),
    },
    rateHz: one([50, 100, 119.3, 208, 416.7, 1000]),
  };
}

/** Rests, swings, twists, thrusts into a pad, gaps, saturated peaks, button edges: whatever a seed makes of them. */
export function randomTrace(seed: number, rateHz: number): Trace {
  const random = seededRandom(seed);
  const normal = seededNormal(seed + 7);
  const length = Math.round(8 * rateHz);
  const saturationDps = [250, 500, 2000, 4000][Math.floor(4 * random())]!;
  const column = () => new Float64Array(length);
  const prop = [column(), column(), column(), column(), column(), column()] as const;
  for (let i = 0; i < length; )
    i = addMove(prop, i, samplesFromMs(200 + 900 * random(), rateHz), random, rateHz);
  for (let i = 0; i < length; ++i)
    for (let k = 0; k < 6; ++k)
      prop[k]![i] = prop[k]![i]! + (k < 3 ? 0.15 : 0.004) * normal() + (k === 5 ? 1 : 0);
  const limited = (v: number) => Math.max(-saturationDps, Math.min(saturationDps, v));
  const cuts = [0.3 + 0.2 * random(), 0.6 + 0.3 * random()].map((part) => Math.round(part * length));
  const bounds = [0, ...cuts, length];
  return {
    gyroXDps: prop[0].map(limited),
    gyroYDps: prop[1].map(limited),
    gyroZDps: prop[2].map(limited),
    accelXG: prop[3],
    accelYG: prop[4],
    accelZG: prop[5],
    segments: bounds.slice(1).map((end, k) => ({ start: bounds[k]!, end })),
    downs: Uint8Array.from({ length }, () => (random() < 0.3 / rateHz ? 1 : 0)),
    power: randomButton(length, random, rateHz),
    held: randomButton(length, random, rateHz),
  };
}

/** Presses long and short, with bounces at some of their ends. */
function randomButton(length: number, random: () => number, rateHz: number): Uint8Array {
  const power = new Uint8Array(length);
  for (let i = 0; i < length; ) {
    i += samplesFromMs(40 + 600 * random(), rateHz);
    const end = i + 1 + samplesFromMs(30 + 900 * random() ** 2, rateHz);
    power.fill(1, i, end);
    if (random() < 0.4) power.fill(1, end + 1 + Math.floor(3 * random()), end + 6);
    i = end + 6;
  }
  return power;
}

/** One move of so many samples from i on: a raised cosine of rate or push, or rest. Gives the sample behind it. */
function addMove(
  columns: readonly Float64Array[],
  from: number,
  samples: number,
  random: () => number,
  rateHz: number,
): number {
  const kind = Math.floor(5 * random());
  const size = random();
  const end = Math.min(columns[0]!.length, from + samples);
  const sign = random() < 0.5 ? -1 : 1;
  for (let i = from; i < end; ++i) {
    const bump = 0.5 - 0.5 * Math.cos((2 * Math.PI * (i - from)) / samples);
    if (kind === 1) columns[1]![i] = columns[1]![i]! + sign * 1200 * size * bump;
    if (kind === 2) columns[2]![i] = columns[2]![i]! + sign * 900 * size * bump;
    if (kind === 3) columns[0]![i] = columns[0]![i]! + sign * 500 * size * bump;
    if (kind === 4) {
      for (let k = 3; k < 6; ++k) columns[k]![i] = columns[k]![i]! + sign * (1 + 2 * size) * bump;
    }
  }
  if (kind !== 4 && random() < 0.7) return end;
  // A hit at the end of the move.
  const hit = Math.max(1, samplesFromMs(6, rateHz));
  for (let i = Math.max(from, end - hit); i < end; ++i) columns[3]![i] = columns[3]![i]! - 12 * random();
  return end;
}

/** The trace as the compiled program reads it. @param bias  at each sample. */
export function packed(trace: Trace, bias: (i: number) => Rates): Float64Array {
  const { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG, segments, downs, power, held } = trace;
  const out = new Float64Array(FIELDS_IN * gyroXDps.length);
  const starts = new Set(segments.map(({ start }) => start));
  for (let i = 0; i < gyroXDps.length; ++i) {
    const motion = [gyroXDps[i]!, gyroYDps[i]!, gyroZDps[i]!, accelXG[i]!, accelYG[i]!, accelZG[i]!];
    out.set([...motion, ...bias(i), starts.has(i) ? 1 : 0, downs[i]!, power[i]!, held[i]!], FIELDS_IN * i);
  }
  return out;
}

/** What our own detectors make of the same samples, in the order in which the compiled program answers. */
export function expected(
  samples: Float64Array,
  { candidate, calibration, rateHz }: PropBuild,
  findsBias = false,
): Float64Array {
  const prop = new PropDetectors(candidate, calibration, rateHz, findsBias);
  const count = samples.length / FIELDS_IN;
  const out = new Float64Array(FIELDS_OUT * count);
  for (let i = 0; i < count; ++i) {
    const [gx, gy, gz, ax, ay, az, bx, by, bz, isReset, isDown, isPowerDown, isHeld] = samples.subarray(
      FIELDS_IN * i,
      FIELDS_IN * (i + 1),
    ) as unknown as number[];
    if (isReset) prop.reset();
    if (!findsBias) prop.setBias(bx!, by!, bz!);
    prop.step(gx!, gy!, gz!, ax!, ay!, az!, isDown === 1, isPowerDown === 1, isHeld === 1);
    const row = [...CHANNELS, ...EVENTS].map((name) => Number(prop[name]));
    out.set(row, FIELDS_OUT * i);
  }
  return out;
}

export interface Difference {
  /** The largest of each channel. */
  readonly channels: Record<(typeof CHANNELS)[number], number>;
  /** Samples at which an event differs. */
  readonly events: readonly { readonly index: number; readonly event: (typeof EVENTS)[number] }[];
  /** How often each event is in the expected. */
  readonly counts: Record<(typeof EVENTS)[number], number>;
}

export function differenceOf(got: Float64Array, want: Float64Array): Difference {
  const channels = Object.fromEntries(CHANNELS.map((name) => [name, 0])) as Difference['channels'];
  const counts = Object.fromEntries(EVENTS.map((name) => [name, 0])) as Difference['counts'];
  const events: { index: number; event: (typeof EVENTS)[number] }[] = [];
  if (got.length !== want.length) throw new Error(`${got.length} values for ${want.length}`);
  for (let at = 0, index = 0; at < want.length; at += FIELDS_OUT, ++index) {
    CHANNELS.forEach((name, k) => {
      channels[name] = Math.max(channels[name], Math.abs(got[at + k]! - want[at + k]!));
    });
    EVENTS.forEach((event, k) => {
      const place = at + CHANNELS.length + k;
      if (want[place] !== 0) ++counts[event];
      if (got[place] !== want[place]) events.push({ index, event });
    });
  }
  return { channels, events, counts };
}

/** Single precision: what a value may differ by, of each channel. */
const FLOAT_ERROR = { swingSpeedDps: 0.02, thrustG: 0.001, impactG: 0.001, twistDeg: 0.01 } as const;

/**
 * Why an event in single precision comes a sample sooner or later: the channel that lies so near to a border of the
 * setting, at that sample or at the one beside it, that rounding decides; null where none does.
 */
export function roundedAway(
  want: Float64Array,
  index: number,
  { candidate }: PropBuild,
): (typeof CHANNELS)[number] | null {
  const { guard, deflection, impact, stab, twist } = candidate;
  const speeds = [
    guard.speedDps,
    guard.speedDps * guard.releaseRatio,
    deflection.speedDps,
    deflection.speedDps * deflection.rearmRatio,
    stab.quietDps,
    stab.untilHitDps,
    twist.quietDps,
  ];
  const near = (value: number, borders: readonly number[], error: number) =>
    borders.some((border) => Math.abs(value - border) <= error);
  for (const i of [index - 1, index, index + 1]) {
    const [speed, thrust, hit, angle] = CHANNELS.map((_, k) => want[FIELDS_OUT * i + k]!) as [
      number,
      number,
      number,
      number,
    ];
    const levels = [impact.impactG, stab.hitRatio * impact.impactG].map(
      (g) => g + (impact.allowanceGPer100Dps * speed) / 100,
    );
    const turns = angle - twist.degPerStep * Math.round(angle / twist.degPerStep);
    if (near(speed, speeds, FLOAT_ERROR.swingSpeedDps)) return 'swingSpeedDps';
    if (near(thrust, [stab.thrustG], FLOAT_ERROR.thrustG)) return 'thrustG';
    if (near(hit, levels, FLOAT_ERROR.impactG)) return 'impactG';
    if (near(turns, [0], FLOAT_ERROR.twistDeg)) return 'twistDeg';
  }
  return null;
}
