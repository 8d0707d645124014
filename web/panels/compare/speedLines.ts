import type { Slot } from '../../state/model.ts';
import { bothCandidates } from '../../state/store.ts';

/** A threshold on swing speed, of one candidate or of both. */
export interface SpeedLine {
  readonly kind: 'guard' | 'deflection';
  readonly slots: readonly Slot[];
  readonly speedDps: number;
}

/** The thresholds of both candidates; where they are equal, one line stands for both. */
export function speedLines(): SpeedLine[] {
  const { a, b } = bothCandidates.value;
  return (['guard', 'deflection'] as const).flatMap((kind): SpeedLine[] => {
    const [ofA, ofB] = [a[kind].speedDps, b[kind].speedDps];
    if (ofA === ofB) return [{ kind, slots: ['a', 'b'], speedDps: ofA }];
    return [
      { kind, slots: ['a'], speedDps: ofA },
      { kind, slots: ['b'], speedDps: ofB },
    ];
  });
}

export function lineName({ kind, slots }: SpeedLine): string {
  return `${kind} ${slots.map((slot) => slot.toUpperCase()).join(' and ')}`;
}

export function isOfB({ slots }: SpeedLine): boolean {
  return slots.length === 1 && slots[0] === 'b';
}
