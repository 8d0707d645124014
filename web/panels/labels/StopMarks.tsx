import { tickPath } from '../../charts/laneShapes.ts';
import type { TimeWindow } from '../../state/model.ts';
import { takeUnits } from '../../state/motionScores.ts';

/** Where the blade comes to a stop after a spin or swing, as judging by motion counts it. */
export function StopMarks(props: {
  readonly window: TimeWindow;
  readonly width: number;
  readonly top: number;
}) {
  const { window, width, top } = props;
  const units = takeUnits.value;
  if (!units) return null;
  const path = tickPath(units.stopsUs, window, width, top, top + 10);
  return <path class={`lane-stop ${units.isConfirmed ? '' : 'is-proposed'}`} data-lane="stops" d={path} />;
}
