import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useMemo } from 'preact/hooks';
import type { PlotArea } from '../../charts/scale.ts';
import type { Layer } from './layers.ts';
import { MapLegend, STAR } from './MapLegend.tsx';
import { mapScale } from './mapScale.ts';
import { type MapAxis, SweepMap } from './SweepMap.tsx';

/** The layer last chosen of each map, by the map's title: kept while the view changes. */
const chosenLayers = signal<Readonly<Record<string, string>>>({});

/** A map with its layers to choose from, its legend, and what stands at the pointer. */
export function MapCard<Grid>(props: {
  readonly title: string;
  readonly x: MapAxis;
  readonly y: MapAxis;
  readonly grid: Grid;
  readonly layers: readonly Layer<Grid>[];
  readonly region: Uint8Array | null;
  /** What is said of the settings in the region. */
  readonly outline: string;
  readonly suggested: readonly [number, number] | null;
  readonly readOut: ComponentChildren;
  readonly handles: (area: PlotArea) => ComponentChildren;
  onHover(cell: number | null): void;
}) {
  const { grid, layers, title } = props;
  const layer = layers.find((one) => one.id === chosenLayers.value[title]) ?? layers[0]!;
  const values = useMemo(() => layer.of(grid), [grid, layer]);
  const scale = useMemo(() => mapScale(values, layer.isCount), [values, layer]);
  const empty = layer.empty(grid);
  return (
    <section class="card map-card">
      <header>
        <h2>{title}</h2>
        <label class="layer">
          <span class="unseen">Coloured by</span>
          <select
            value={layer.id}
            onChange={(event) => {
              chosenLayers.value = { ...chosenLayers.peek(), [title]: event.currentTarget.value };
            }}
          >
            {layers.map((one) => (
              <option key={one.id} value={one.id}>
                {one.name}
              </option>
            ))}
          </select>
        </label>
      </header>
      {empty === null ? (
        <SweepMap
          x={props.x}
          y={props.y}
          values={values}
          scale={scale}
          region={props.region}
          label={`${title}, coloured by: ${layer.legend}`}
          marks={(area) =>
            props.suggested && (
              <path
                class="suggested-mark"
                transform={`translate(${area.x(props.suggested[0])} ${area.y(props.suggested[1])})`}
                d={STAR}
              />
            )
          }
          handles={props.handles}
          onHover={props.onHover}
        />
      ) : (
        <p class="map-empty quiet">{empty}</p>
      )}
      <p class="map-readout">{props.readOut}</p>
      <MapLegend
        scale={scale}
        words={layer.legend}
        outline={props.outline}
        note={layer.note?.(grid) ?? null}
        hasSuggestion={props.suggested !== null && empty === null}
        format={layer.format}
      />
    </section>
  );
}
