import { palette } from '../../charts/palette.ts';
import { cssColour, rampColour } from '../plot/ramp.ts';
import type { MapScale } from './mapScale.ts';

/** The ramp with its values; a count of none has a box of its own. */
export function MapLegend(props: {
  readonly scale: MapScale;
  readonly words: string;
  readonly note: string | null;
  format(value: number): string;
}) {
  const { scheme } = palette.value;
  const { scale } = props;
  const stops = Array.from({ length: 13 }, (_, i) => cssColour(rampColour(i / 12, scheme))).join(', ');
  return (
    <div class="map-legend">
      {scale.isCount && (
        <span class="legend-none">
          <i /> none
        </span>
      )}
      {scale.max > 0 && (
        <span class="legend-ramp">
          <i style={{ background: `linear-gradient(to right, ${stops})` }} />
          {scale.ticks.map((tick) => (
            <b key={tick} style={{ left: `${(scale.place(tick) ?? 0) * 100}%` }}>
              {props.format(tick)}
            </b>
          ))}
        </span>
      )}
      <span class="quiet">{props.words}</span>
      {props.note && <span class="caution">{props.note}</span>}
    </div>
  );
}
