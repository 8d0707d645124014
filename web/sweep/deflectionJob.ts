import {
  DEFLECTION_AXES,
  suggestDeflection,
  sumDeflection,
} from '../../server/engine/choose/deflectionChoice.ts';
import { type DeflectionSweep, sweepDeflection } from '../../server/engine/sweep/deflectionSweep.ts';
import type { DeflectionJob, DeflectionValue, Progress } from './jobs.ts';
import { Kept, keyOf, overTakes, type Surroundings } from './runner.ts';

const sweeps = new Kept<DeflectionSweep>(300);

/** Sweeps the deflection over all takes; then suggests the middle of the best plateau. */
export async function runDeflectionJob(job: DeflectionJob, around: Surroundings): Promise<void> {
  const { takes, smoothing, base } = job;
  let grid: DeflectionSweep | null = null;
  const value = (progress: Progress): DeflectionValue => {
    const suggestion = progress.stage === 'done' && grid !== null ? suggestDeflection(grid) : null;
    return { kind: 'deflection', ...progress, grid, suggestion };
  };
  const failed = await overTakes(
    takes,
    around,
    async (take) => {
      const sweep = await sweeps.of(keyOf(take, smoothing, base.restMs, base.confirmMs), async () => {
        const { signals, truth } = await around.reader.read(take, smoothing);
        return sweepDeflection({ signals, swings: truth.swings, base, ...DEFLECTION_AXES });
      });
      grid = grid === null ? sweep : sumDeflection([grid, sweep]);
    },
    (progress) => value({ stage: 'sweeping', total: takes.length, ...progress }),
  );
  around.report(value({ stage: 'done', done: takes.length, total: takes.length, failed }));
}
