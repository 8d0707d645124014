import { isWindowed, type SmoothingSettings } from '../../server/engine/filter/smoothing.ts';
import { ChoiceField, NumberField } from './Field.tsx';

/** The fields of a smoothing, for the candidate under edit. */
export function SmoothingFields({ kind }: Pick<SmoothingSettings, 'kind'>) {
  return (
    <>
      <ChoiceField path="smoothing.kind" />
      {kind === 'butterworth' && <ChoiceField path="smoothing.order" />}
      {isWindowed(kind) && <NumberField path="smoothing.lengthMs" />}
      {kind !== 'none' && !isWindowed(kind) && <NumberField path="smoothing.cutoffHz" />}
    </>
  );
}

/** A smoothing in a few words. */
export function smoothingWords({ kind, cutoffHz, lengthMs }: SmoothingSettings): string {
  switch (kind) {
    case 'none':
      return 'none';
    case 'butterworth':
      return `${cutoffHz} Hz low-pass`;
    case 'firstOrder':
      return `${cutoffHz} Hz low-pass, first order`;
    case 'movingAverage':
      return `average of ${lengthMs} ms`;
    case 'median':
      return `median of ${lengthMs} ms`;
  }
}
