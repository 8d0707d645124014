import { beforeAll, describe, expect, test } from 'vitest';
import { DEMO_TAKES } from '../../../scripts/simulate/demo/demoTakes.ts';
import type { Press, UniformLog } from '../../../server/engine/base/log.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { estimateBias, takeOffBias } from '../../../server/engine/calibrate/bias.ts';
import { runDeflection } from '../../../server/engine/detect/deflection.ts';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { computeMotion } from '../../../server/engine/motion/motion.ts';
import { computeSignals } from '../../../server/engine/motion/signals.ts';
import type { PropBuild } from '../../../server/engine/prop/c99/constants.ts';
import { evaluate } from '../../../server/engine/score/evaluate.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { demoTake, see } from '../../truth/simulated.ts';
import { CHANNELS, compile, EVENTS, FIELDS_OUT, hasCompiler } from './compiled.ts';
import {
  type Difference,
  differenceOf,
  expected,
  packed,
  type Rates,
  randomBuild,
  randomTrace,
  roundedAway,
  type Trace,
} from './traces.ts';

/** What double precision may differ by: the order of additions, and sines of another library. */
const SAME = 1e-9;
const BUILDS = 10;
const TRACES_A_BUILD = 20;
const BIAS: Rates = [0.7, -1.1, 0.4];

function expectSame({ channels, events }: Difference): void {
  expect(events).toEqual([]);
  for (const name of CHANNELS) expect(channels[name], name).toBeLessThan(SAME);
}

/** A button that is held for 1.1 s of every 2.3 s, and bounces 8 ms after it comes up. */
const HELD_MS = 1100;
const heldPresses = (durationUs: number): Press[] =>
  Array.from({ length: Math.ceil(durationUs / 2_300_000) }, (_, k) => k * 2_300_000 + 400_000).flatMap(
    (downUs) => [
      { button: 'held', downUs, upUs: downUs + HELD_MS * 1000 },
      { button: 'held', downUs: downUs + HELD_MS * 1000 + 8000, upUs: downUs + HELD_MS * 1000 + 20_000 },
    ],
  );
function isHeldAt(timeUs: number): boolean {
  const sinceMs = ((timeUs - 400_000) % 2_300_000) / 1000;
  return sinceMs >= 0 && (sinceMs < HELD_MS || (sinceMs >= HELD_MS + 8 && sinceMs < HELD_MS + 20));
}

/** A demonstration take as the prop met it: its samples on the uniform grid, before mount and bias. */
function demoTrace(name: string) {
  const take = demoTake(name);
  const { calibration } = see(take);
  const { uniform } = buildTimeBase(take.log);
  const downs = new Uint8Array(uniform.timeUs.length);
  for (const { downUs } of take.presses) {
    const at = uniform.timeUs.findIndex((timeUs) => timeUs >= downUs);
    if (at >= 0) downs[at] = 1;
  }
  const power = uniform.timeUs.map((timeUs) =>
    take.presses.some(({ downUs, upUs }) => timeUs >= downUs && timeUs < (upUs ?? downUs)) ? 1 : 0,
  );
  const held = Uint8Array.from(uniform.timeUs, (timeUs) => (isHeldAt(timeUs) ? 1 : 0));
  const trace: Trace = { ...uniform, downs, power: Uint8Array.from(power), held };
  const build: PropBuild = { candidate: DEFAULT_CANDIDATE, calibration, rateHz: uniform.rateHz };
  return { take, uniform, calibration, trace, build };
}

/** The take's own bias at every sample, sensor frame: what is taken off a sensor that reads nothing. */
function biasAt(uniform: UniformLog): (i: number) => Rates {
  const zeros = () => new Float64Array(uniform.timeUs.length);
  const [x, y, z] = [zeros(), zeros(), zeros()];
  takeOffBias([x, y, z], uniform.timeUs, estimateBias(uniform));
  return (i) => [-x[i]!, -y[i]!, -z[i]!];
}

describe.skipIf(!hasCompiler())('the reference in C beside our own detectors', () => {
  test.each(DEMO_TAKES.map(({ name }) => name))('%s: the same events at the same samples, whole', (name) => {
    const { take, uniform, calibration, trace, build } = demoTrace(name);
    const { candidate } = build;
    const samples = packed(trace, biasAt(uniform));
    const got = compile(build, { sanitize: true }).run(samples);
    expectSame(differenceOf(got, expected(samples, build)));

    // And beside the batch that the page runs.
    const motion = computeMotion(uniform, calibration);
    const signals = computeSignals(motion, candidate, take.presses);
    const evaluation = evaluate(signals, take.presses, EMPTY_LABELS, candidate, motion);
    const firesOf = (event: (typeof EVENTS)[number]) =>
      [...uniform.timeUs.keys()].filter(
        (i) => got[FIELDS_OUT * i + CHANNELS.length + EVENTS.indexOf(event)] !== 0,
      );
    expect(firesOf('deflects')).toEqual([...evaluation.deflections!]);
    expect(firesOf('impacts')).toEqual([...evaluation.fires.impact]);
    expect(firesOf('stabs')).toEqual([...evaluation.fires.stab]);
    expect(firesOf('twists')).toEqual([...evaluation.fires.twist]);
    expect(firesOf('dialSteps')).toEqual(evaluation.dialSteps.map(({ index }) => index));
    expect(firesOf('isGuardClosed')).toEqual(
      [...evaluation.closed.keys()].filter((i) => evaluation.closed[i] === 1),
    );
    for (const [k, column] of [
      signals.swingSpeedDps,
      signals.thrustG,
      signals.impactG,
      signals.twistDeg,
    ].entries()) {
      const worst = column.reduce(
        (most, value, i) => Math.max(most, Math.abs(value - got[FIELDS_OUT * i + k]!)),
        0,
      );
      expect(worst, CHANNELS[k]).toBeLessThan(SAME);
    }
  });

  test('with deflections on while a button is held, the demonstration takes come to the same', () => {
    const counts = { held: 0, always: 0 };
    for (const { name } of DEMO_TAKES) {
      const { uniform, calibration, trace, build } = demoTrace(name);
      const { deflection } = DEFAULT_CANDIDATE;
      const candidate = {
        ...DEFAULT_CANDIDATE,
        deflection: { ...deflection, switchedOn: 'held' as const, debounceMs: 15, confirmMs: 10 },
      };
      const samples = packed(trace, biasAt(uniform));
      const held = { ...build, candidate };
      const got = compile(held).run(samples);
      expectSame(differenceOf(got, expected(samples, held)));
      const motion = computeMotion(uniform, calibration);
      const presses = heldPresses(motion.timeUs.at(-1)!);
      const fires = runDeflection(computeSignals(motion, candidate, [], presses), candidate.deflection)!;
      const at = CHANNELS.length + EVENTS.indexOf('deflects');
      expect([...uniform.timeUs.keys()].filter((i) => got[FIELDS_OUT * i + at] !== 0)).toEqual([...fires]);
      counts.held += fires.length;
      counts.always += runDeflection(computeSignals(motion, candidate, []), {
        ...candidate.deflection,
        switchedOn: 'always',
      })!.length;
    }
    expect(counts.held).toBeGreaterThan(50);
    expect(counts.held).toBeLessThan(counts.always);
  });

  describe(`${BUILDS * TRACES_A_BUILD} random traces, ${BUILDS} settings`, () => {
    const total = Object.fromEntries(EVENTS.map((name) => [name, 0])) as Difference['counts'];
    const inFloat: string[] = [];

    test.each(Array.from({ length: BUILDS }, (_, k) => k))('setting %i', (k) => {
      const build = randomBuild(1000 + k);
      const inDouble = compile(build, { sanitize: true });
      const float = compile(build, { float: true, sanitize: k === 0 });
      // One after the other through one run, each behind a reset, as behind a gap.
      for (const findsBias of [false, true]) {
        const traces = Array.from({ length: TRACES_A_BUILD / 2 }, (_, t) =>
          packed(randomTrace(100 * k + 2 * t + Number(findsBias), build.rateHz), () => BIAS),
        );
        const samples = Float64Array.from(traces.flatMap((trace) => [...trace]));
        const want = expected(samples, build, findsBias);
        const difference = differenceOf(inDouble.run(samples, findsBias), want);
        expectSame(difference);
        for (const event of EVENTS) total[event] += difference.counts[event];
        const single = differenceOf(float.run(samples, findsBias), want);
        for (const { index, event } of single.events) {
          const channel = roundedAway(want, index, build);
          expect(channel, `${event} at sample ${index}`).not.toBeNull();
          inFloat.push(
            `setting ${k}, ${findsBias ? 'own' : 'given'} bias, sample ${index}: ${event}, by ${channel}`,
          );
        }
      }
    });

    test('every event was among them', () => {
      for (const event of EVENTS) expect(total[event], event).toBeGreaterThan(20);
    });

    test('in single precision, of 700 000 samples a handful differ, each where a value meets its border to the last bits', () => {
      if (inFloat.length > 0) console.log(inFloat.join('\n'));
      expect(inFloat.length).toBeLessThanOrEqual(10);
    });
  });

  describe('a constant that is changed is caught', () => {
    const build = randomBuild(1003);
    const samples = packed(randomTrace(5, build.rateHz), () => BIAS);
    let want: Float64Array;
    beforeAll(() => {
      want = expected(samples, build);
    });

    test.each(['PROP_GUARD_HOLD_SAMPLES', 'PROP_PULL_G_PER_DPS2'])('%s', (name) => {
      const got = compile(build, {
        change: ({ text }) => text.replace(new RegExp(`#define ${name} (\\S+)`), `#define ${name} (1 + $1)`),
      }).run(samples);
      const { events, channels } = differenceOf(got, want);
      expect(events.length + (channels.thrustG > SAME ? 1 : 0)).toBeGreaterThan(0);
    });
  });
});
