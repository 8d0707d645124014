import type { LoggedDecisions } from '../base/decisions.ts';
import type { Press } from '../base/log.ts';
import { firstAtOrAfter, firstWhere } from '../statistics/sorted.ts';
import { type Decisions, FIRE_NAMES, type Fires, type Grid, KIND_OF } from './decisions.ts';

/** What the log says, on the take's grid, and where it refuses a press that the log does not hold. */
export interface Logged {
  readonly decisions: Decisions;
  readonly withoutPressUs: readonly number[];
}

/** A prop says so much later at most, after a button is let go, that it refuses: it may wait until that is no bounce. */
const REFUSED_WITHIN_US = 650_000;

/** @param presses  of the power button, in time order. */
export function loggedOnGrid(logged: LoggedDecisions, grid: Grid, presses: readonly Press[]): Logged {
  const { guardClosed, refusedUs, fires } = logged;
  const refused = refusedUs && presses.map((): boolean => false);
  const withoutPressUs = (refusedUs ?? []).filter((atUs) => {
    const at = pressOf(atUs, presses, 1e6 / grid.rateHz);
    if (at !== null) refused![at] = true;
    return at === null;
  });
  return {
    decisions: {
      closed: guardClosed && closedOn(grid, guardClosed),
      refused,
      fires: fires && firesOn(grid, fires),
    },
    withoutPressUs,
  };
}

/** The latest press that had begun when the prop said so, if it had not ended long before. */
function pressOf(atUs: number, presses: readonly Press[], stepUs: number): number | null {
  const at = firstWhere(presses.length, (i) => presses[i]!.downUs > atUs + stepUs) - 1;
  const press = presses[at];
  return press && atUs <= (press.upUs ?? press.downUs) + REFUSED_WITHIN_US ? at : null;
}

function closedOn(grid: Grid, spans: NonNullable<LoggedDecisions['guardClosed']>): Uint8Array {
  const closed = new Uint8Array(grid.timeUs.length);
  for (const { startUs, endUs } of spans) closed.fill(1, nearest(grid, startUs), endOf(grid, endUs));
  return closed;
}

/** A span that goes on to the log's end holds for its last sample too. */
function endOf(grid: Grid, endUs: number): number {
  return endUs > grid.timeUs.at(-1)! ? grid.timeUs.length : nearest(grid, endUs);
}

function firesOn(grid: Grid, fires: NonNullable<LoggedDecisions['fires']>): Fires {
  const entries = FIRE_NAMES.map((name) => {
    const sign = name === 'dialDown' ? -1 : 1;
    const own = fires.filter(({ kind, steps }) => kind === KIND_OF[name] && sign * steps > 0);
    return [
      name,
      own.flatMap(({ atUs, steps }) => Array.from({ length: Math.abs(steps) }, () => nearest(grid, atUs))),
    ];
  });
  return Object.fromEntries(entries) as Fires;
}

/** The sample nearest to a moment: rows need not lie on the grid. */
function nearest({ timeUs }: Grid, momentUs: number): number {
  const after = firstAtOrAfter(timeUs, momentUs);
  if (after === 0) return 0;
  if (after === timeUs.length) return after - 1;
  return momentUs - timeUs[after - 1]! <= timeUs[after]! - momentUs ? after - 1 : after;
}
