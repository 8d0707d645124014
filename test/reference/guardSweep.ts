import type { Press, Span } from '../../server/engine/base/log.ts';
import { type GuardSettings, runGuard } from '../../server/engine/detect/guard.ts';
import { judgePresses } from '../../server/engine/detect/presses.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { SpeedSignals } from '../../server/engine/motion/signals.ts';
import { scoreGuard } from '../../server/engine/score/guardScore.ts';

/** The grid by running and scoring the guard anew in every cell. */
export function referenceGuardSweep(args: {
  signals: SpeedSignals;
  presses: readonly Press[];
  labels: Labels;
  spinning: readonly Span[];
  base: GuardSettings;
  xs: readonly number[];
  ys: readonly number[];
}) {
  const cells = args.xs.flatMap((speedDps) =>
    args.ys.map((holdMs) => {
      const settings = { ...args.base, speedDps, holdMs };
      const closed = runGuard(args.signals, settings);
      const verdicts = judgePresses(args.signals, closed, args.presses, settings);
      return scoreGuard({ ...args, closed, verdicts, settings });
    }),
  );
  return {
    strays: cells.map((c) => c.falseAccepts.n),
    wanted: cells.map((c) => c.falseRejects.n),
    falseAccepts: cells.map((c) => c.falseAccepts.k),
    falseRejects: cells.map((c) => c.falseRejects.k),
    openShare: cells.map((c) => c.openShare ?? Number.NaN),
    spinningS: cells.map((c) => c.spinningS),
    waitMedianMs: cells.map((c) => c.waitAfterStopMs?.median ?? Number.NaN),
  };
}
