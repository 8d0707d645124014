import { upperMedian } from '../../server/engine/statistics/sorted.ts';
export type Print = (line: string) => void;

/** Work to be timed; it gives back something that depends on all it did, so that nothing is optimised away. */
export type Work = () => unknown | Promise<unknown>;

const ROUNDS = 5;
export const WARM_UPS = 3;

/**
 * Times two works in turn, some times to warm up and then `ROUNDS` times, and prints theirs/ours: above 1, ours is faster. The
 * times are of the processor, which other work on the machine stretches least.
 * @param clock  another one where processes of their own do the work
 */
export async function pair(
  print: Print,
  name: string,
  ours: Work,
  peerName: string,
  peer: Work,
  target: string,
  clock: (work: Work) => Promise<number> = processorMs,
): Promise<void> {
  for (let i = 0; i < WARM_UPS; ++i) {
    await ours();
    await peer();
  }
  const rounds: [number, number][] = [];
  for (let round = 0; round < ROUNDS; ++round) rounds.push([await clock(ours), await clock(peer)]);
  const ratio = upperMedian(rounds.map(([a, b]) => b / a));
  const times = `${shown(upperMedian(rounds.map(([a]) => a)))} against ${shown(upperMedian(rounds.map(([, b]) => b)))}`;
  print(`${name}: ${ratio.toFixed(2)}× the speed of ${peerName} (${times}; target ${target})`);
}

/** Processor time of this process, all its threads together. */
export async function processorMs(work: Work): Promise<number> {
  const before = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}

export async function timeMs(work: Work): Promise<number> {
  const start = performance.now();
  await work();
  return performance.now() - start;
}

export function shown(ms: number): string {
  return ms >= 100 ? `${ms.toFixed(0)} ms` : `${ms.toPrecision(3)} ms`;
}
