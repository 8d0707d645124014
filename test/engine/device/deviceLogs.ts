import type { MotionLog, Press } from '../../../server/engine/base/log.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import type { Calibration } from '../../../server/engine/calibrate/calibration.ts';
import type { PropBuild } from '../../../server/engine/prop/c99/constants.ts';
import type { TextFile } from '../../../server/engine/prop/c99/generate.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { demoTake, powerPresses, type Seen, see } from '../../truth/simulated.ts';
import { compileExample } from '../prop/compiled.ts';

/** What is otherwise on a prop than on the bench: what it is built for, and what its firmware does. */
export interface Fault {
  readonly build?: (build: PropBuild) => PropBuild;
  /** Changes of the example's text. */
  readonly lines?: readonly (readonly [string, string])[];
}

const STEP = '        prop_step(&prop, &sample, &out);\n';

export const FAULTS = {
  cutoff: {
    build: (build) => ({
      ...build,
      candidate: {
        ...build.candidate,
        smoothing: { ...build.candidate.smoothing, cutoffHz: 10 },
      },
    }),
  },
  /** The sensor's samples wait 8 ms; the button is read at once. */
  delay: {
    lines: [
      [
        STEP,
        `        {
            static prop_sample ring[64];
            static long count = 0;
            const long late = (long)(0.008 * PROP_RATE_HZ + 0.999);
            ring[count % 64] = sample;
            sample = ring[(count < late ? 0 : count - late) % 64];
            sample.button_went_down = went_down;
            sample.power_is_down = power != 0;
            ++count;
            prop_step(&prop, &sample, &out);
        }
`,
      ],
    ],
  },
  /** The sensor's axis along the blade, with the other sign. */
  mirrored: {
    lines: [
      [
        '        sample.button_went_down',
        '        sample.gyro_dps[TIP] = -sample.gyro_dps[TIP];\n        sample.accel_g[TIP] = -sample.accel_g[TIP];\n        sample.button_went_down',
      ],
    ],
  },
  /** Built for half the rate, and at work on every second sample. */
  half: {
    build: (build) => ({ ...build, rateHz: build.rateHz / 2 }),
    lines: [
      [
        '        prop_output out;\n',
        '        static prop_output out;\n        static bool isOdd, pressed;\n',
      ],
      [
        STEP,
        `        pressed = pressed || went_down;
        sample.button_went_down = pressed;
        out.deflection = out.impact = out.stab = out.twist = out.power_refused = false;
        out.dial_steps = 0;
        if (!isOdd) prop_step(&prop, &sample, &out);
        if (!isOdd) pressed = false;
        isOdd = !isOdd;
`,
      ],
    ],
  },
  /** Built for half the rate, and at work on every sample all the same. */
  miscounted: { build: (build) => ({ ...build, rateHz: build.rateHz / 2 }) },
} as const satisfies Readonly<Record<string, Fault>>;

/** A log as a prop's sensor gives it, for the example to decide on. */
export function sensorRows(log: MotionLog, presses: readonly Press[]): string {
  const axes = [log.gyroXDps, log.gyroYDps, log.gyroZDps, log.accelXG, log.accelYG, log.accelZG];
  const rows = Array.from(log.timeUs, (atUs, i) => {
    const isDown = presses.some(({ downUs, upUs }) => downUs <= atUs && (upUs === null || atUs < upUs));
    return [Math.round(atUs), ...axes.map((axis) => Number(axis[i]!.toPrecision(9))), isDown ? 1 : 0].join();
  });
  return `time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power\n${rows.join('\n')}\n`;
}

/** What a prop that samples evenly prints of a demonstration take. */
export function deviceLog(
  name: string,
  candidate: Candidate,
  { build = (own) => own, lines = [] }: Fault = {},
) {
  const seen: Seen = see(demoTake(name));
  const { uniform } = buildTimeBase(seen.take.log);
  const example = compileExample(
    build({ candidate, calibration: seen.calibration, rateHz: uniform.rateHz }),
    ({ name, text }: TextFile) => (name === 'example.c' ? changed(text, lines, seen.calibration) : text),
  );
  return { text: example(sensorRows(uniform, powerPresses(seen.take))), seen };
}

function changed(text: string, lines: NonNullable<Fault['lines']>, { mount }: Calibration): string {
  const tip = 'xyz'.indexOf(mount.tip[1]!);
  return lines.reduce((now, [from, to]) => {
    if (!now.includes(from)) throw new Error(`the example has no line ${from}`);
    return now.replace(from, to.replaceAll('TIP', String(tip)));
  }, text);
}
