import { computed } from '@preact/signals';
import { yOf } from '../charts/geometry.ts';
import { xOf } from '../charts/laneShapes.ts';
import type { TimeWindow } from '../state/model.ts';
import { truth } from '../state/verdicts.ts';

/** Of the swings in use those with a clipped peak: they were faster than the log says. */
export const clippedSwings = computed(() => truth.value?.swings.filter(({ saturated }) => saturated) ?? []);

/** A cap on every peak that is clipped. */
export function ClippedPeaks(props: {
  readonly window: TimeWindow;
  readonly range: readonly [number, number];
  readonly width: number;
  readonly height: number;
}) {
  const { window, range, width, height } = props;
  const clipped = clippedSwings.value.filter(
    ({ peakUs }) => peakUs >= window.startUs && peakUs <= window.endUs,
  );
  if (clipped.length === 0) return null;
  return (
    <svg class="clipped-peaks" width={width} height={height} role="img" aria-label="Clipped peaks">
      {clipped.map(({ peakUs, peakDps }) => (
        <path
          key={peakUs}
          transform={`translate(${xOf(peakUs, window, width)} ${Math.max(6, yOf(peakDps, range, height))})`}
          d="M-5 0H5M-3 -3L0 -6L3 -3"
        >
          <title>{`A swing of ${peakDps.toFixed(0)} °/s or more: its peak is clipped`}</title>
        </path>
      ))}
    </svg>
  );
}
