import type { SmoothingSettings } from '../../server/engine/settings/candidate.ts';
import { isWindowed } from '../../server/engine/settings/candidateRules.ts';
import { ChoiceField, NumberField } from './Field.tsx';

/** What of a smoothing there is to set, for the candidate under edit. */
export function SmoothingFields({ kind }: Pick<SmoothingSettings, 'kind'>) {
  return (
    <>
      <ChoiceField
        path="smoothing.kind"
        choices={[
          ['none', 'none'],
          ['firstOrder', 'first order'],
          ['butterworth', 'Butterworth'],
          ['movingAverage', 'moving average'],
          ['median', 'median'],
        ]}
      />
      {kind === 'butterworth' && (
        <ChoiceField
          path="smoothing.order"
          choices={[
            ['1', '1'],
            ['2', '2'],
            ['4', '4'],
          ]}
          isNumber
        />
      )}
      {isWindowed(kind) && <NumberField path="smoothing.lengthMs" />}
      {kind !== 'none' && !isWindowed(kind) && <NumberField path="smoothing.cutoffHz" />}
    </>
  );
}

/** A smoothing in a few words. */
export function smoothingWords({ kind, order, cutoffHz, lengthMs }: SmoothingSettings): string {
  switch (kind) {
    case 'none':
      return 'none';
    case 'butterworth':
      return `order ${order}, ${cutoffHz} Hz`;
    case 'firstOrder':
      return `first order, ${cutoffHz} Hz`;
    case 'movingAverage':
      return `average of ${lengthMs} ms`;
    case 'median':
      return `median of ${lengthMs} ms`;
  }
}
