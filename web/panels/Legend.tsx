import type { ComponentChildren } from 'preact';
import { DETECTORS, GESTURE_DETECTOR_IDS } from '../../server/engine/detect/detectors.ts';
import type { GestureKind } from '../../server/engine/labels/labels.ts';
import type { Fate } from '../state/fate.ts';
import type { TimeWindow } from '../state/model.ts';
import { MISSED_SHAPE } from './DeflectionLane.tsx';
import { DIFFERENCE_SHAPE } from './DeviceLane.tsx';
import { GestureMark } from './GestureMarks.tsx';
import { KeyMark } from './KeyMark.tsx';
import { PressMark } from './PressMark.tsx';
import { keysInSight, type LegendKey } from './tune/legendKeys.ts';

const FATES: readonly [Fate, string][] = [
  ['strayLetThrough', 'stray, let through'],
  ['strayRefused', 'stray, refused'],
  ['wantedAccepted', 'wanted, accepted'],
  ['wantedRefused', 'wanted, refused'],
  ['unlabelledAccepted', 'no label, accepted'],
  ['unlabelledRefused', 'no label, refused'],
  ['unknown', 'not known'],
];

const OTHERS: readonly [LegendKey, string, number, ComponentChildren][] = [
  ['deflection', 'deflection', 16, <path key="" class="lane-deflection" d="M0 -6V6" />],
  ['twice', 'fires twice', 16, <path key="" class="lane-deflection" d="M-1.5 -6V6M1.5 -6V6" />],
  ['missed', 'swing missed', 14, <path key="" class="lane-missed" d={`M-3.5 0${MISSED_SHAPE}`} />],
  ['clipped', 'clipped peak', 14, <path key="" class="clipped-key" d="M-5 2H5M-3 -1L0 -4L3 -1" />],
  ['swings', 'swings', 22, <path key="" class="label-swing" d="M-10 5Q-5 -9 0 5Q5 -9 10 5" />],
  ['stop', 'stop', 8, <path key="" class="lane-stop" d="M0 -5V5" />],
  ['still', 'still', 14, <path key="" class="label-still" d="M-7 2h14v2h-14z" />],
  ['label-thrust', 'thrust, labelled or proposed', 14, labelMark('thrust', 'M-4 -5L4 -1L-4 3z')],
  ['label-hit', 'hit, labelled or proposed', 14, labelMark('hit', 'M0 -5.5v9M-4 -3.3l8 4.6M-4 1.3l8 -4.6')],
  ['label-twist', 'twist, labelled or proposed', 14, labelMark('twist', 'M-4 .5a4.2 4.2 0 1 1 5.5 2.5')],
  ['drill', 'drill', 14, <path key="" class="label-drill" d="M-6 -5H6V5H-6z" />],
  ['differs', 'prop differs', 14, <path key="" class="lane-differs" d={DIFFERENCE_SHAPE} />],
];

/** A gesture's mark over the line from its start to its end. */
function labelMark(kind: GestureKind, d: string) {
  return <path key="" class={`label-gesture label-${kind}`} d={`${d}M-6 6H6`} />;
}

/** The meaning of the marks in sight, and of no others. */
export function Legend({ window, width }: { readonly window: TimeWindow; readonly width: number }) {
  const keys = keysInSight(window, width);
  return (
    <ul class="legend" aria-label="Marks in sight">
      {FATES.filter(([fate]) => keys.has(fate)).map(([fate, words]) => (
        <Entry key={fate} words={words} width={16}>
          {keys.has('bands') ? <BandKey fate={fate} /> : <PressMark fate={fate} />}
        </Entry>
      ))}
      {keys.has('bands') && (
        <Entry words="so many went wrong" width={14}>
          <text class="band-count" y={4}>
            n
          </text>
        </Entry>
      )}
      {GESTURE_DETECTOR_IDS.filter((id) => keys.has(id)).map((id) => (
        <Entry key={id} words={DETECTORS[id].name.toLowerCase()} width={14}>
          <GestureMark id={id} />
        </Entry>
      ))}
      {OTHERS.filter(([key]) => keys.has(key)).map(([key, words, width, mark]) => (
        <Entry key={key} words={words} width={width}>
          {mark}
        </Entry>
      ))}
    </ul>
  );
}

/** A fate's part of a band. */
function BandKey({ fate }: { readonly fate: Fate }) {
  return (
    <g class="press-bands">
      <rect class={`is-${fate}`} x={-6} y={-3} width={12} height={6} />
    </g>
  );
}

function Entry(props: {
  readonly words: string;
  readonly width: number;
  readonly children: ComponentChildren;
}) {
  return (
    <li>
      <KeyMark width={props.width} height={16}>
        {props.children}
      </KeyMark>
      {props.words}
    </li>
  );
}
