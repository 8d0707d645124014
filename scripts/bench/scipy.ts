import { spawnSync } from 'node:child_process';

/** Runs a statement of Python some times inside Python's own clock. @returns its median in ms, or null without SciPy. */
export function scipyMs(setup: string, statement: string, rounds = 5): number | null {
  const program = [
    'import time, statistics, numpy as np',
    'from scipy import signal',
    setup,
    'def run():',
    `    ${statement}`,
    'run()',
    'times = []',
    `for _ in range(${rounds}):`,
    '    t = time.perf_counter(); run(); times.append((time.perf_counter() - t) * 1000)',
    'print(statistics.median(times))',
  ].join('\n');
  const { status, stdout } = spawnSync('python3', ['-c', program], { encoding: 'utf8' });
  return status === 0 ? Number(stdout) : null;
}
