import type { Span } from '../../server/engine/base/log.ts';
import { spanPath } from '../charts/laneShapes.ts';
import type { TimeWindow } from '../state/model.ts';

interface ShadesProps {
  readonly spans: readonly Span[];
  readonly window: TimeWindow;
  readonly width: number;
  readonly height: number;
}

/** Spinning spans as a light ground behind a curve: one path, however many there are. */
export function Shades({ spans, window, width, height }: ShadesProps) {
  return (
    <svg class="shades" width={width} height={height} aria-hidden="true">
      <path class="shade" d={spanPath(spans, window, width, 0, height)} />
    </svg>
  );
}
