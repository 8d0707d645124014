import { type ChildProcess, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { upperMedian } from '../../server/engine/statistics/sorted.ts';
import { type Print, processorMs, shown, WARM_UPS, type Work } from './pair.ts';

const ROUNDS = 7;

/** What a statement of Python took by Python's own processor clock, and what came out of it. */
interface Turn {
  readonly ms: number;
  readonly value: number;
}

/** Python that stays and runs one statement whenever it is asked. */
class PythonPeer {
  private readonly child: ChildProcess;
  private readonly lines: AsyncIterator<string>;

  private constructor(child: ChildProcess) {
    this.child = child;
    this.lines = createInterface({ input: child.stdout! })[Symbol.asyncIterator]();
  }

  /** null where there is no Python, or not all that is imported. @param value  an expression, worked out in each turn */
  static async start(setup: string, value: string): Promise<PythonPeer | null> {
    const program = [
      'import sys, time',
      'import numpy as np',
      setup,
      'def run():',
      `    return float(${value})`,
      'run()',
      'print("ready", flush=True)',
      'for _ in sys.stdin:',
      '    t = time.process_time(); value = run(); print((time.process_time() - t) * 1000, value, flush=True)',
    ].join('\n');
    const child = spawn('python3', ['-c', program], { stdio: ['pipe', 'pipe', 'ignore'] });
    child.on('error', () => {});
    const peer = new PythonPeer(child);
    return (await peer.lines.next()).done ? null : peer;
  }

  async run(): Promise<Turn> {
    this.child.stdin!.write('\n');
    const { value: line } = await this.lines.next();
    const [ms, value] = String(line).split(' ').map(Number);
    return { ms: ms!, value: value! };
  }

  end(): void {
    this.child.kill();
  }
}

/** Python's side of a comparison. */
interface Statement {
  readonly name: string;
  readonly setup: string;
  /** An expression whose number tells that the same was done. */
  readonly value: string;
  /** How far the number may lie from ours; nothing is compared without it, since each side draws its own noise. */
  readonly within?: number;
}

/**
 * Times our work and Python's in turn, by the processor clock of each, and prints theirs/ours.
 * @throws Error  where both do not come to the same
 */
export async function pairWithPython(
  print: Print,
  name: string,
  ours: Work,
  { name: peerName, setup, value, within }: Statement,
  target: string,
): Promise<void> {
  const peer = await PythonPeer.start(setup, value);
  if (peer === null) return print(`${name}: no Python here with what ${peerName} needs`);
  try {
    for (let i = 0; i < WARM_UPS; ++i) await ours();
    const rounds: (readonly [number, number])[] = [];
    for (let round = 0; round < ROUNDS; ++round) {
      const ms = await processorMs(ours);
      rounds.push([ms, (await peer.run()).ms]);
    }
    if (within !== undefined) {
      const [a, b] = [Number(await ours()), (await peer.run()).value];
      if (!(Math.abs(a - b) <= within)) throw new Error(`${name}: ours is ${a}, that of ${peerName} ${b}`);
    }
    const ratio = upperMedian(rounds.map(([a, b]) => b / a));
    const times = [0, 1].map((k) => shown(upperMedian(rounds.map((round) => round[k]!))));
    print(
      `${name}: ${ratio.toFixed(2)}× the speed of ${peerName} (${times.join(' against ')}; target ${target})`,
    );
  } finally {
    peer.end();
  }
}
