import { evidenceOf, type TakeEvidence } from '../../server/engine/choose/evidence.ts';
import { type ChoiceTake, GUARD_AXES } from '../../server/engine/choose/takeSweep.ts';
import { type GuardSettings, runGuard } from '../../server/engine/detect/guard.ts';
import { judgePresses } from '../../server/engine/detect/presses.ts';
import { holdCurve, holdsNeededMs, reversalRows } from '../../server/engine/explain/reversalRows.ts';
import { inOrder } from './folds.ts';
import type { JobTake, Progress, ReversalsJob, ReversalsValue, Slip, TakeReversal } from './jobs.ts';
import { Kept, keyOf, overTakes, type Surroundings } from './runner.ts';
import { slipsOf, straysOf } from './slips.ts';

/** What one guard finds on one take. */
interface Found {
  readonly rows: readonly TakeReversal[];
  readonly slips: readonly Slip[];
  readonly strays: number;
  readonly evidence: TakeEvidence;
  readonly holds: readonly Float64Array[];
}

const kept = new Kept<Found>(200);

/** All reversals and slips of all takes, as one guard meets them. */
export async function runReversalsJob(job: ReversalsJob, around: Surroundings): Promise<void> {
  const { takes, smoothing, guard } = job;
  const done: (Found & { readonly take: JobTake })[] = [];
  const value = (progress: Progress): ReversalsValue => {
    const all = inOrder(done, takes);
    const found = all.filter(({ evidence }) => evidence.unfit === null);
    const holds = found.flatMap((one) => one.holds);
    return {
      kind: 'reversals',
      ...progress,
      rows: found.flatMap(({ rows }) => rows),
      slips: found.flatMap(({ slips }) => slips),
      curve: holds.length === 0 ? null : holdCurve(GUARD_AXES.xs, holds),
      strays: found.reduce((sum, { strays }) => sum + strays, 0),
      evidence: all.map(({ evidence }) => evidence),
    };
  };
  const noted = await overTakes(
    takes,
    around,
    async (input, take, next) => {
      const found = await kept.of(keyOf(input, smoothing, guard), async () => {
        const read = await around.reader.read(input, smoothing, next?.id);
        const { signals, truth } = read;
        const holds = holdsNeededMs(signals, truth.reversals, guard.releaseRatio, GUARD_AXES.xs);
        return { ...reversalsOf(read, guard), evidence: evidenceOf(read, guard), holds };
      });
      done.push({ take, ...found });
    },
    (progress) => value({ stage: 'sweeping', total: takes.length, ...progress }),
  );
  around.report(value({ stage: 'done', done: takes.length, total: takes.length, ...noted }));
}

/** What one take's reversals and stray presses make of a guard. */
function reversalsOf(
  take: ChoiceTake,
  guard: GuardSettings,
): { readonly rows: TakeReversal[]; readonly slips: Slip[]; readonly strays: number } {
  const { id: takeId, title, signals, truth, labels, presses } = take;
  const closed = runGuard(signals, guard);
  const verdicts = judgePresses(signals, closed, presses, guard);
  const rows = reversalRows({ signals, reversals: truth.reversals, verdicts, labels, guard });
  const strays = straysOf(verdicts, labels);
  const slips = slipsOf(take, strays, { signals, closed, settings: guard, truth });
  return { rows: rows.map((row) => ({ takeId, title, ...row })), slips, strays: strays.length };
}
