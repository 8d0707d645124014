import { evidenceOf, type TakeEvidence } from '../../server/engine/choose/evidence.ts';
import { type ChoiceTake, GUARD_AXES } from '../../server/engine/choose/takeSweep.ts';
import { type GuardSettings, runGuard } from '../../server/engine/detect/guard.ts';
import { judgePresses } from '../../server/engine/detect/presses.ts';
import { holdCurve, holdsNeededMs, reversalRows } from '../../server/engine/explain/reversalRows.ts';
import type {
  JobTake,
  Progress,
  ReversalsJob,
  ReversalsValue,
  SettingsOf,
  Slip,
  TakeInput,
  TakeReversal,
} from './jobs.ts';
import type { AnsweredPiece, FindPiece } from './piece.ts';
import { findKept, inOrder, Kept, overTakes, type Surroundings } from './runner.ts';
import { slipsOf, straysOf } from './slips.ts';

const kept = new Kept<AnsweredPiece>(200);

/** What one guard finds on one take. */
interface Found {
  readonly rows: readonly TakeReversal[];
  readonly slips: readonly Slip[];
  readonly strays: number;
  readonly evidence: TakeEvidence;
  readonly holds: readonly Float64Array[];
}

/** All reversals and slips of all takes, as one guard meets them. */
export async function runReversalsJob({ takes, ...job }: ReversalsJob, around: Surroundings): Promise<void> {
  const done = new Map<JobTake, Found>();
  const value = (progress: Progress): ReversalsValue => {
    const all = inOrder(done, takes).map(([, found]) => found);
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
  const noted = await overTakes<Found>(
    takes,
    around,
    findKept(around, kept, { what: 'reversals', job }),
    (take, found) => found && done.set(take, found),
    (progress) => value({ stage: 'sweeping', total: takes.length, ...progress }),
  );
  around.report(() => value({ stage: 'done', done: takes.length, total: takes.length, ...noted }));
}

/** What one guard finds on one take. */
export function reversalsIn(input: TakeInput, { smoothing, guard }: SettingsOf<ReversalsJob>): FindPiece {
  return async (reader, nextId): Promise<Found> => {
    const read = await reader.read(input, smoothing, nextId);
    const { signals, truth } = read;
    const holds = holdsNeededMs(signals, truth.reversals, guard.releaseRatio, GUARD_AXES.xs);
    return { ...reversalsOf(read, guard), evidence: evidenceOf(read, guard), holds };
  };
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
