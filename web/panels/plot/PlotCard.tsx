import type { ComponentChildren } from 'preact';
import type { PlotArea } from '../../charts/scale.ts';
import { KeyMark } from '../KeyMark.tsx';
import { type PlotAxis, PlotFrame } from './PlotFrame.tsx';
import type { Readout } from './readout.ts';

interface KeyEntry {
  readonly name: string;
  /** Class of the line: colour and dash. */
  readonly line: string;
}

/** A small plot with its title and what it says in a sentence, which is also its text for screen readers. */
export function PlotCard(props: {
  readonly title: string;
  readonly says: string;
  readonly x: PlotAxis;
  readonly y: PlotAxis;
  readonly legend?: readonly KeyEntry[];
  /** A number line: low, and without a scale up its side. */
  readonly isFlat?: boolean;
  readonly readout?: Readout;
  readonly children: (area: PlotArea) => ComponentChildren;
}) {
  const { title, says, x, y, legend, isFlat, readout } = props;
  return (
    <figure class={`card plot-card ${isFlat ? 'is-flat' : ''}`}>
      <figcaption>
        <h3>{title}</h3>
        {legend && (
          <span class="plot-key">
            {legend.map(({ name, line }) => (
              <span key={name}>
                <KeyMark width={18} height={8}>
                  <path class={`curve ${line}`} d="M-9 0H9" />
                </KeyMark>
                {name}
              </span>
            ))}
          </span>
        )}
      </figcaption>
      <PlotFrame
        x={x}
        y={isFlat ? { ...y, ticks: [] } : y}
        label={`${title}: ${says}`}
        isSmall
        {...(readout && { readout })}
      >
        {props.children}
      </PlotFrame>
      <p class="plot-says">{says}</p>
    </figure>
  );
}
