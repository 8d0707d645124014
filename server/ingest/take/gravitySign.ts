import { isGravityRole, type MotionRole } from '../../engine/base/columnRoles.ts';
import type { Mapping } from '../ground/types.ts';
import { gatherEvidence } from '../units/evidence.ts';
import { GOOD_FIT } from '../units/turnScale.ts';
import { addGravity, type FilePart } from './prepare.ts';

/** How much better the turning must agree with the difference before it is taken instead of the sum. */
const CLEARLY_BETTER = 0.2;

/**
 * Whether gravity was rightly added: where the sum turns less well with the rates than the difference does, the
 * difference is taken, in the parts (in place) and in the mapping. Steady turns in which an estimate of gravity lags
 * tell the two apart; where nothing does, the sum stays, which is the custom.
 */
export function settleGravitySign(parts: readonly FilePart[], mapping: Mapping): Mapping {
  const part = parts.find(({ prepared }) => prepared.gravity.size === 3 && prepared.columns.has('gyroX'));
  if (!part) return mapping;
  const { timeUs, columns, gravity, table } = part.prepared;
  const factor = table.plan.gravityFactor;
  const turned = new Map([...columns].map(([role, values]) => [role, values.slice()] as const));
  addGravity(turned, gravity, -2 * factor);
  const sum = agreement(timeUs, columns);
  const difference = agreement(timeUs, turned);
  if (difference >= GOOD_FIT && difference > sum + CLEARLY_BETTER) {
    addGravity(columns, gravity, -2 * factor);
    return withGravity(mapping, 'subtracted', 'taken off, as the rates then agree with how gravity turns');
  }
  const tested = sum >= GOOD_FIT ? '; the rates agree with how the sum turns' : '';
  return withGravity(mapping, 'added', `added to the acceleration without it: what the sensor read${tested}`);
}

function withGravity(mapping: Mapping, unit: 'added' | 'subtracted', how: string): Mapping {
  const columns = mapping.columns.map((column) =>
    isGravityRole(column.role)
      ? { ...column, unit: column.unit.replace(/^[a-z]+/, unit), reason: `${column.reason}: ${how}` }
      : column,
  );
  return { ...mapping, columns };
}

function agreement(timeUs: Float64Array, columns: ReadonlyMap<MotionRole, Float64Array>): number {
  return gatherEvidence(timeUs, columns).turn?.agreement ?? 0;
}
