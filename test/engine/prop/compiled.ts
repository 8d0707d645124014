import { execFileSync, spawnSync } from 'node:child_process';
import { copyFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { findCompiler } from '../../../scripts/findCompiler.mjs';
import type { PropBuild } from '../../../server/engine/prop/c99/constants.ts';
import { generateC99, type TextFile } from '../../../server/engine/prop/c99/generate.ts';
import { temporaryFolder } from '../../store/temporaryFolder.ts';

const CC = findCompiler();

/** Whether the system has a compiler; where it has none, the tests of what is exported cannot run. */
export function hasCompiler(): boolean {
  return CC !== null;
}

const STRICT = ['-std=c99', '-Wall', '-Wextra', '-Werror', '-pedantic', '-O1'];
/** Checks are most of what a compiler has to do: without optimizing, that takes two thirds of the time. */
const SANITIZED = ['-O0', '-fsanitize=address,undefined', '-fno-sanitize-recover=all'];

/** What the program prints for each sample, in this order. */
export const CHANNELS = ['swingSpeedDps', 'thrustG', 'impactG', 'twistDeg'] as const;
export const EVENTS = [
  'isStill',
  'isGuardClosed',
  'deflects',
  'impacts',
  'stabs',
  'twists',
  'dialSteps',
  'powerActs',
  'powerRefused',
] as const;

/** One sample in: rates, forces, the bias to take off, whether all is forgotten before it, whether a button went down, whether power and the deflection's button are down. */
export const FIELDS_IN = 13;
export const FIELDS_OUT = 13;

export interface Compiled {
  /** Takes samples through the program. `findsBias`: by itself, at rests. */
  run(samples: Float64Array, findsBias?: boolean): Float64Array;
}

/** Compiles the example that is exported beside the reference. Gives what takes a log's lines and prints them with decisions. */
export function compileExample(
  build: PropBuild,
  change?: (file: TextFile) => string,
): (text: string) => string {
  const folder = writeFiles(build, change);
  execFileSync(CC!, [...STRICT, '-o', 'example', 'example.c', 'prop.c', '-lm'], {
    cwd: folder,
    stdio: 'pipe',
  });
  return (input) => execFileSync(join(folder, 'example'), { input, encoding: 'utf8', maxBuffer: 1 << 30 });
}

function writeFiles(build: PropBuild, change?: (file: TextFile) => string): string {
  const folder = temporaryFolder();
  for (const file of generateC99(build, ['A test.']))
    writeFileSync(join(folder, file.name), change?.(file) ?? file.text);
  return folder;
}

/**
 * Compiles the reference for a setting, with every warning an error; it goes away with the test that calls this.
 * @param change  what to change in a file before.
 */
export function compile(
  build: PropBuild,
  options: {
    readonly float?: boolean;
    readonly sanitize?: boolean;
    readonly change?: (file: TextFile) => string;
  } = {},
): Compiled {
  const folder = writeFiles(build, options.change);
  copyFileSync(fileURLToPath(new URL('driver.c', import.meta.url)), join(folder, 'driver.c'));
  const flags = [
    ...STRICT,
    ...(options.float ? ['-DPROP_FLOAT'] : []),
    ...(options.sanitize ? SANITIZED : []),
  ];
  execFileSync(CC!, [...flags, '-o', 'prop', 'prop.c', 'driver.c', '-lm'], { cwd: folder, stdio: 'pipe' });
  return {
    run(samples, findsBias = false) {
      const { status, stdout, stderr } = spawnSync(join(folder, 'prop'), findsBias ? ['rest'] : [], {
        input: new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength),
        maxBuffer: 1 << 30,
      });
      if (status !== 0) throw new Error(`the compiled detectors failed: ${stderr}`);
      return new Float64Array(new Uint8Array(stdout).buffer);
    },
  };
}
