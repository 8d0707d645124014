import type { FireKind } from '../base/decisions.ts';
import type { Press, UniformLog } from '../base/log.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import { computeMotion, type Motion } from '../motion/motion.ts';
import { computeSignals, type Signals } from '../motion/signals.ts';
import type { Twist, TwistStart } from '../motion/twist.ts';
import type { Candidate } from '../settings/candidate.ts';
import {
  benchDecisions,
  type Decisions,
  FIRE_NAMES,
  type FireName,
  type Fires,
  KIND_OF,
  refusedOf,
} from './decisions.ts';
import { KeptParts } from './keptParts.ts';
import { type RollOnProp, rollOnProp, twistOnProp } from './propTwist.ts';

/** Three rows of three: what a sensor's axes become. */
export type Matrix = readonly number[];

/** A prop as it may be at work: the bench's own, or one in which something is otherwise. */
export interface Setup {
  readonly candidate: Candidate;
  readonly calibration: Calibration;
  /** What firmware makes of the sensor's axes before all else; null for nothing. */
  readonly gyro: Matrix | null;
  readonly accel: Matrix | null;
  /** It works on one sample of so many, the first of them `phase` samples after a start. */
  readonly every: number;
  readonly phase: number;
  /** Its times are counted, and its filters laid out, for this part of the rate at which it works. */
  readonly ratePart: number;
  /** Each decision comes so many samples later. */
  readonly lateSamples: number;
  /** Whether the gyro's bias is taken off. */
  readonly hasBias: boolean;
  /** What it never tells of, or does not have. */
  readonly silent: readonly FireKind[];
}

/** What all setups of a take share. */
export interface DeviceTake {
  readonly uniform: UniformLog;
  /** Of the power button. */
  readonly presses: readonly Press[];
  readonly allPresses: readonly Press[];
  /** Of the button that deflections may wait for; null or missing where there is none. */
  readonly deflectionPresses?: readonly Press[] | null;
}

export function benchSetup(candidate: Candidate, calibration: Calibration): Setup {
  return {
    candidate,
    calibration,
    gyro: null,
    accel: null,
    every: 1,
    phase: 0,
    ratePart: 1,
    lateSamples: 0,
    hasBias: true,
    silent: [],
  };
}

interface Moved {
  readonly key: string;
  readonly motion: Motion;
  readonly roll: RollOnProp;
  readonly twist: Map<TwistStart, Twist>;
}

/** Decides as setups do. What two that follow one another share is computed once, and what the first has is kept. */
export class SetupRunner {
  private readonly take: DeviceTake;
  private readonly parts = new KeptParts();
  private first: Moved | null = null;
  private last: Moved | null = null;
  private lastSignals: { readonly key: string; readonly of: Moved; readonly signals: Signals } | null = null;

  constructor(take: DeviceTake) {
    this.take = take;
  }

  decisions(setup: Setup): Decisions {
    const { candidate, every, phase, lateSamples, silent } = setup;
    const { uniform, presses } = this.take;
    const signals = this.signalsOf(setup);
    const { closed, fires } = benchDecisions(signals, [], candidate, this.parts.of(signals));
    const places = every === 1 ? null : placesOf(uniform, every, phase);
    const wholeClosed = later(places === null ? closed : held(uniform, closed, places), uniform, lateSamples);
    return {
      closed: wholeClosed,
      refused: refusedOf(uniform, wholeClosed, presses, candidate.guard),
      fires: mapFires(fires, (name, index) =>
        silent.includes(KIND_OF[name]) ? null : laterIndex(uniform, places?.[index] ?? index, lateSamples),
      ),
    };
  }

  private signalsOf(setup: Setup): Signals {
    const { smoothing, impact, twist } = setup.candidate;
    const moved = this.movedOf(setup);
    const key = JSON.stringify([smoothing, impact.highPassHz, twist.startAt]);
    if (this.lastSignals?.of === moved && this.lastSignals.key === key) return this.lastSignals.signals;
    const { allPresses, deflectionPresses = null } = this.take;
    const plain = computeSignals(moved.motion, setup.candidate, allPresses, deflectionPresses);
    const found =
      moved.twist.get(twist.startAt) ?? twistOnProp(moved.motion, moved.roll, twist.startAt, allPresses);
    moved.twist.set(twist.startAt, found);
    const signals = { ...plain, ...found };
    this.lastSignals = { key, of: moved, signals };
    return signals;
  }

  private movedOf(setup: Setup): Moved {
    const { calibration, gyro, accel, every, phase, ratePart, hasBias } = setup;
    const key = JSON.stringify([calibration, gyro, accel, every, phase, ratePart, hasBias]);
    if (this.first?.key === key) return this.first;
    if (this.last?.key === key) return this.last;
    const log = asSeen(this.take.uniform, setup);
    const known = hasBias ? calibration : { ...calibration, bias: { knots: [] } };
    const roll = rollOnProp(log, calibration, hasBias);
    this.last = { key, motion: computeMotion(log, known), roll, twist: new Map() };
    this.first ??= this.last;
    return this.last;
  }
}

/** The log as the setup's detectors see it. */
function asSeen(log: UniformLog, { gyro, accel, every, phase, ratePart }: Setup): UniformLog {
  const [gyroXDps, gyroYDps, gyroZDps] = turned(gyro, [log.gyroXDps, log.gyroYDps, log.gyroZDps]);
  const [accelXG, accelYG, accelZG] = turned(accel, [log.accelXG, log.accelYG, log.accelZG]);
  const whole = { ...log, gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG };
  const seen = every === 1 ? whole : thinned(whole, every, phase);
  return ratePart === 1 ? seen : { ...seen, rateHz: seen.rateHz * ratePart, stepUs: seen.stepUs / ratePart };
}

type Columns = readonly [Float64Array, Float64Array, Float64Array];

function turned(matrix: Matrix | null, columns: Columns): Columns {
  if (matrix === null) return columns;
  const [x, y, z] = columns;
  const row = (k: number) =>
    x.map((value, i) => matrix[k]! * value + matrix[k + 1]! * y[i]! + matrix[k + 2]! * z[i]!);
  return [row(0), row(3), row(6)];
}

/** Places of the samples that are looked at, each stretch of data begun anew. */
function placesOf({ segments }: UniformLog, every: number, phase: number): number[] {
  const places: number[] = [];
  for (const { start, end } of segments) for (let i = start + phase; i < end; i += every) places.push(i);
  return places;
}

function thinned(log: UniformLog, every: number, phase: number): UniformLog {
  const places = placesOf(log, every, phase);
  const pick = (column: Float64Array) => Float64Array.from(places, (place) => column[place]!);
  let start = 0;
  const segments = log.segments.flatMap((segment) => {
    const count = Math.max(0, Math.ceil((segment.end - segment.start - phase) / every));
    start += count;
    return count === 0 ? [] : [{ start: start - count, end: start }];
  });
  return {
    timeUs: pick(log.timeUs),
    gyroXDps: pick(log.gyroXDps),
    gyroYDps: pick(log.gyroYDps),
    gyroZDps: pick(log.gyroZDps),
    accelXG: pick(log.accelXG),
    accelYG: pick(log.accelYG),
    accelZG: pick(log.accelZG),
    rateHz: log.rateHz / every,
    stepUs: log.stepUs * every,
    segments,
    saturated: Uint8Array.from(places, (place) => log.saturated[place]!),
  };
}

/** A state that is looked at now and then holds until it is looked at again. */
function held({ segments, timeUs }: UniformLog, values: Uint8Array, places: readonly number[]): Uint8Array {
  const out = new Uint8Array(timeUs.length);
  let next = 0;
  for (const { start, end } of segments) {
    let value = 0;
    for (let i = start; i < end; ++i) {
      if (places[next] === i) value = values[next++]!;
      out[i] = value;
    }
  }
  return out;
}

/** A state that comes late; at a stretch's start it is open for so long. Negative: early. */
function later(values: Uint8Array, { segments }: UniformLog, by: number): Uint8Array {
  if (by === 0) return values;
  const out = new Uint8Array(values.length);
  for (const { start, end } of segments)
    for (let i = start; i < end; ++i) out[i] = i - by >= start && i - by < end ? values[i - by]! : 0;
  return out;
}

function laterIndex({ segments }: UniformLog, index: number, by: number): number | null {
  if (by === 0) return index;
  const own = segments.find(({ start, end }) => index >= start && index < end)!;
  const at = index + by;
  return at >= own.start && at < own.end ? at : null;
}

function mapFires(fires: Fires, move: (name: FireName, index: number) => number | null): Fires {
  const entries = FIRE_NAMES.map((name) => [
    name,
    fires[name]?.map((index) => move(name, index)).filter((at) => at !== null) ?? null,
  ]);
  return Object.fromEntries(entries) as Fires;
}
