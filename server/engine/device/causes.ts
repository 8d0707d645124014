import type { FireKind } from '../base/decisions.ts';
import type { Mount } from '../base/mount.ts';
import type { SmoothingSettings } from '../filter/smoothing.ts';

export type SensorPart = 'gyro' | 'accel' | 'both';
export type Axis = 'x' | 'y' | 'z';

/** In what a prop may differ from the bench. Rates are those at which it then works. */
export type Cause =
  | { readonly kind: 'late'; readonly samples: number; readonly ms: number }
  | { readonly kind: 'everyNth'; readonly every: number; readonly phase: number; readonly rateHz: number }
  | { readonly kind: 'countedAt'; readonly rateHz: number; readonly worksAtHz: number }
  | { readonly kind: 'smoothing'; readonly smoothing: SmoothingSettings }
  | { readonly kind: 'mirrored'; readonly part: SensorPart; readonly axis: Axis }
  | { readonly kind: 'swapped'; readonly part: SensorPart; readonly axes: readonly [Axis, Axis] }
  | { readonly kind: 'mount'; readonly mount: Mount }
  | { readonly kind: 'unit'; readonly part: 'gyro' | 'accel'; readonly factor: number }
  | { readonly kind: 'noBias' }
  | { readonly kind: 'setting'; readonly path: string; readonly value: number | string }
  | { readonly kind: 'candidate'; readonly name: string }
  | { readonly kind: 'silent'; readonly fires: FireKind };

/** What causes share of which one is named, the one that fits best. */
export function familyOf(cause: Cause): string {
  switch (cause.kind) {
    case 'everyNth':
      return `${cause.kind} ${cause.every}`;
    case 'smoothing':
      return `${cause.kind} ${cause.smoothing.kind} ${cause.smoothing.order}`;
    case 'setting':
      return `${cause.kind} ${cause.path}`;
    case 'mount':
      return `${cause.kind} ${cause.mount.tip}`;
    case 'late':
    case 'noBias':
      return cause.kind;
    default:
      return JSON.stringify(cause);
  }
}

/** The number that a family's causes differ in; null where they differ in none. */
export function numberOf(cause: Cause): number | null {
  switch (cause.kind) {
    case 'late':
      return cause.ms;
    case 'smoothing': {
      const { kind, cutoffHz, lengthMs } = cause.smoothing;
      return kind === 'none' ? null : kind === 'movingAverage' || kind === 'median' ? lengthMs : cutoffHz;
    }
    case 'setting':
      return typeof cause.value === 'number' ? cause.value : null;
    default:
      return null;
  }
}
