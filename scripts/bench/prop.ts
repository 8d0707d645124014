import { execFileSync, spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import type { SmoothingSettings } from '../../server/engine/filter/smoothing.ts';
import type { PropBuild } from '../../server/engine/prop/c99/constants.ts';
import { generateC99 } from '../../server/engine/prop/c99/generate.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { DEMO_TAKES, simulateDemoTake } from '../simulate/demo/demoTakes.ts';
import type { Print } from './pair.ts';

const ARM_CC = 'arm-none-eabi-gcc';
const SIZE = 'arm-none-eabi-size';
const EMULATOR = 'qemu-system-arm';
const CORE = [
  '-mcpu=cortex-m4',
  '-mthumb',
  '-mfpu=fpv4-sp-d16',
  '-mfloat-abi=hard',
  '-std=c99',
  '-DPROP_FLOAT',
];
/** One instruction takes 1 ns of emulated time, and the timer ticks 25 million times a second. */
const INSTRUCTIONS_A_TICK = 40;
const SAMPLES = 4000;

const SMOOTHINGS: readonly Partial<SmoothingSettings>[] = [
  { kind: 'butterworth', order: 2 },
  { kind: 'butterworth', order: 4 },
  { kind: 'movingAverage' },
  { kind: 'median' },
];
/** The rules of the buttons that take most to follow. */
const BUTTONS: Candidate = {
  ...DEFAULT_CANDIDATE,
  guard: { ...DEFAULT_CANDIDATE.guard, decideAt: 'held', pressLength: 'long', debounceMs: 15 },
  deflection: { ...DEFAULT_CANDIDATE.deflection, switchedOn: 'held', debounceMs: 15 },
};

/** Bytes of code and state, and instructions a sample, of the exported detectors on a Cortex-M4 in single precision. */
export async function benchProp(print: Print): Promise<void> {
  const missing = [ARM_CC, SIZE, EMULATOR].filter((name) => spawnSync(name, ['--version']).status !== 0);
  if (missing.length > 0) {
    print(
      `not measured: ${missing.join(', ')} not found (Debian: gcc-arm-none-eabi, libnewlib-arm-none-eabi, qemu-system-arm)`,
    );
    return;
  }
  const take = simulateDemoTake(DEMO_TAKES.find(({ name }) => name === 'spinner-full-routine')!);
  const { uniform } = buildTimeBase(take.log);
  const keys = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;
  const rows = Array.from(
    { length: SAMPLES },
    (_, i) => `{${keys.map((key) => uniform[key][i]).join(',')}},`,
  );
  const tell = (name: string, candidate: Candidate): void => {
    const calibration = { mount: { tip: '+x', side: '+y' }, accelScale: 1, leverArmM: 0.16 } as const;
    const { code, state, instructions } = measure({ candidate, calibration, rateHz: uniform.rateHz }, rows);
    print(
      `${name}, ${Math.round(uniform.rateHz)} Hz: ${code} bytes of code, ${state} of state, ${instructions} instructions a sample`,
    );
  };
  for (const own of SMOOTHINGS) {
    const smoothing = { ...DEFAULT_CANDIDATE.smoothing, ...own };
    const { kind, order, lengthMs } = smoothing;
    const name = kind === 'butterworth' ? `Butterworth, order ${order}` : `${kind} of ${lengthMs} ms`;
    tell(name, { ...DEFAULT_CANDIDATE, smoothing });
  }
  tell('the default, long presses while held and deflections while held', BUTTONS);
}

function measure(build: PropBuild, rows: readonly string[]) {
  const folder = mkdtempSync(join(tmpdir(), 'prop-m4-'));
  try {
    for (const { name, text } of generateC99(build, ['A measurement.']))
      writeFileSync(join(folder, name), text);
    for (const name of ['main.c', 'memory.ld'])
      copyFileSync(join('scripts', 'bench', 'm4', name), join(folder, name));
    writeFileSync(join(folder, 'samples.inc'), rows.join('\n'));
    const run = (program: string, ...args: string[]) =>
      execFileSync(program, args, { cwd: folder, encoding: 'utf8', timeout: 60_000 });
    run(ARM_CC, ...CORE, '-O2', '-c', 'prop.c', '-o', 'prop.o');
    const link = ['-nostartfiles', '--specs=nosys.specs', '-fsingle-precision-constant', '-T', 'memory.ld'];
    run(
      ARM_CC,
      ...CORE.map((flag) => (flag === '-std=c99' ? '-std=gnu99' : flag)),
      '-O2',
      ...link,
      '-o',
      'prop.elf',
      'main.c',
      'prop.o',
      '-lm',
    );
    const code = Number(run(SIZE, 'prop.o').split('\n')[1]!.trim().split(/\s+/)[0]);
    const machine = [
      '-M',
      'mps2-an386',
      '-icount',
      'shift=0',
      '-semihosting',
      '-nographic',
      '-kernel',
      'prop.elf',
    ];
    // What the program prints by way of the emulator comes out as an error.
    const { stderr } = spawnSync(EMULATOR, machine, { cwd: folder, encoding: 'utf8', timeout: 60_000 });
    const [ticks, count, , state] = stderr.trim().split(/\s+/).map(Number);
    if (!(Number(ticks) > 0 && Number(count) > 0)) throw new Error(`the emulator answered: ${stderr}`);
    return { code, state, instructions: Math.round((INSTRUCTIONS_A_TICK * ticks!) / count!) };
  } finally {
    rmSync(folder, { recursive: true });
  }
}
