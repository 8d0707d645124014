import type { GuardSettings } from '../../server/engine/candidate.ts';
import { holdCurve, holdsNeededMs, reversalRows } from '../../server/engine/choose/reversalRows.ts';
import { type ChoiceTake, GUARD_AXES } from '../../server/engine/choose/takeSweep.ts';
import { judgePresses } from '../../server/engine/detect/presses.ts';
import { runGuard } from '../../server/engine/detect/runs.ts';
import { explainSlip } from '../../server/engine/truth/causes.ts';
import { intentOf } from '../../server/engine/truth/labels.ts';
import type { Progress, ReversalsJob, ReversalsValue, Slip, TakeReversal } from './jobs.ts';
import { overTakes, type Surroundings } from './runner.ts';

/** All reversals and slips of all takes, as one guard meets them. */
export async function runReversalsJob(job: ReversalsJob, around: Surroundings): Promise<void> {
  const { takes, smoothing, guard } = job;
  const rows: TakeReversal[] = [];
  const slips: Slip[] = [];
  const holds: Float64Array[] = [];
  let strays = 0;
  const value = (progress: Progress): ReversalsValue => {
    const curve = holds.length === 0 ? null : holdCurve(GUARD_AXES.speedsDps, holds);
    return { kind: 'reversals', ...progress, rows: [...rows], slips: [...slips], curve, strays };
  };
  const failed = await overTakes(
    takes,
    around,
    async (take) => {
      const read = await around.reader.read(take, smoothing);
      const found = reversalsOf(read, guard);
      rows.push(...found.rows);
      slips.push(...found.slips);
      strays += found.strays;
      const { signals, truth } = read;
      holds.push(...holdsNeededMs(signals, truth.reversals, guard.releaseRatio, GUARD_AXES.speedsDps));
    },
    (progress) => value({ stage: 'sweeping', total: takes.length, ...progress }),
  );
  around.report(value({ stage: 'done', done: takes.length, total: takes.length, failed }));
}

/** What one take's reversals and stray presses make of a guard. */
export function reversalsOf(
  take: ChoiceTake,
  guard: GuardSettings,
): { readonly rows: TakeReversal[]; readonly slips: Slip[]; readonly strays: number } {
  const { id: takeId, title, signals, truth, labels, presses } = take;
  const closed = runGuard(signals, guard);
  const verdicts = judgePresses(signals, closed, presses, guard);
  const rows = reversalRows({ signals, reversals: truth.reversals, verdicts, labels, guard });
  const strays = verdicts.filter(({ press }) => intentOf(labels, press)?.intent === 'stray');
  const slips = strays.flatMap((verdict): Slip[] => {
    const explanation = explainSlip({ signals, closed, verdict, settings: guard, truth });
    return explanation ? [{ takeId, title, downUs: verdict.press.downUs, explanation }] : [];
  });
  return { rows: rows.map((row) => ({ takeId, title, ...row })), slips, strays: strays.length };
}
