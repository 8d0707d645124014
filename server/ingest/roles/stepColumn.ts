import { upperMedian } from '../../engine/statistics/sorted.ts';
import { isSameColumn } from '../ground/remembered.ts';
import type { ColumnMapping } from '../ground/types.ts';
import { usPer } from '../ground/units.ts';
import type { FileHead } from '../layout/fileHead.ts';
import type { NamedColumn } from '../layout/triples.ts';
import { guessUnit, statedTimeUnit } from './clockGuess.ts';

const STEP_NAME =
  /(^|[^a-z])(dt|delta[ _]?(t|time|ms|us|s)?|interval|period|time[ _]?step|step[ _]?time)([^a-z]|$)/i;
/** Steps that differ by more are no regular rate. */
const STEADY = 0.25;

/**
 * The rate of a log without a clock in which one column holds the time since the row before (`dt_ms`), with the reason;
 * null where there is none, or it is not steady.
 */
export function rateFromSteps(
  heads: readonly FileHead[],
  columns: readonly ColumnMapping[],
): { readonly rateHz: number; readonly reason: string } | null {
  if (columns.some(({ role, unit }) => role === 'time' && unit !== 'counter')) return null;
  for (const head of heads) {
    for (const column of head.columns) {
      const { name } = column;
      if (!STEP_NAME.test(name)) continue;
      const isFree = columns.some((own) => isSameColumn(own, column) && own.role === 'ignored');
      const found = isFree ? readSteps(column) : null;
      if (found)
        return {
          rateHz: Number((1e6 / found.stepUs).toPrecision(6)),
          reason: `column "${name}" holds the time since the row before, ${found.step} ${found.unit} on average`,
        };
    }
  }
  return null;
}

function readSteps(column: NamedColumn): { stepUs: number; step: number; unit: string } | null {
  const { sample } = column;
  const steps = sample.values.filter((value) => value > 0);
  if (sample.kind !== 'number' || steps.length < 0.9 * sample.values.length) return null;
  const middle = upperMedian(steps);
  const steady = steps.filter((step) => Math.abs(step / middle - 1) <= STEADY);
  const unit = statedTimeUnit(column) ?? guessUnit(Number.NaN, middle, null)?.unit ?? '';
  const us = usPer(unit);
  if (steady.length < 0.9 * steps.length || us === null) return null;
  const mean = steady.reduce((sum, step) => sum + step, 0) / steady.length;
  return { stepUs: mean * us, step: Number(mean.toPrecision(5)), unit };
}
