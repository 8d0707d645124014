import { palette } from '../../charts/palette.ts';
import { KeyMark } from '../KeyMark.tsx';
import { cssColour, rampColour } from '../plot/ramp.ts';
import type { MapScale } from './mapScale.ts';

/** The mark of the suggestion. */
export const STAR = 'M0 -9L2.6 -2.6L9 0L2.6 2.6L0 9L-2.6 2.6L-9 0L-2.6 -2.6z';

/** What colours, outline and star are: the ramp with its values, where a count of none has a box of its own. */
export function MapLegend(props: {
  readonly scale: MapScale;
  readonly words: string;
  readonly note: string | null;
  /** What the outlined settings have in common. */
  readonly outline: string;
  /** Whether the map shows a suggestion, and the outline of all that does as well. */
  readonly hasSuggestion: boolean;
  format(value: number): string;
}) {
  const { scheme } = palette.value;
  const { scale } = props;
  const stops = Array.from({ length: 13 }, (_, i) => cssColour(rampColour(i / 12, scheme))).join(', ');
  return (
    <div class="map-legend">
      <span class="quiet">{props.words}</span>
      {scale.isCount && (
        <span class="legend-none">
          <i /> green: none
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
      {props.hasSuggestion && (
        <>
          <span class="legend-none">
            <KeyMark width={20} height={20}>
              <path class="suggested-key" d={STAR} />
            </KeyMark>
            suggested
          </span>
          <span class="legend-none">
            <KeyMark width={20} height={14}>
              <path class="plateau-key" d="M-8 5V0H-2V-5H8V5z" />
            </KeyMark>
            outlined: {props.outline}
          </span>
        </>
      )}
      {props.note && <span class="caution">{props.note}</span>}
    </div>
  );
}
