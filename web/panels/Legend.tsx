import type { ComponentChildren } from 'preact';
import { DETECTORS, GESTURE_DETECTOR_IDS } from '../../server/engine/detect/detectors.ts';
import { openDecisions } from '../state/openTake.ts';
import { MISSED_SHAPE } from './DeflectionLane.tsx';
import { DIFFERENCE_SHAPE } from './DeviceLane.tsx';
import type { Fate } from './fate.ts';
import { GestureMark } from './GestureMarks.tsx';
import { KeyMark } from './KeyMark.tsx';
import { PressMark } from './PressMark.tsx';

const FATES: readonly [Fate, string][] = [
  ['strayLetThrough', 'stray through'],
  ['strayRefused', 'stray refused'],
  ['wantedAccepted', 'wanted accepted'],
  ['wantedRefused', 'wanted refused'],
  ['unlabelledAccepted', 'unlabelled'],
];

/** The meaning of the marks in the lanes. */
export function Legend() {
  return (
    <ul class="legend" aria-label="Marks">
      {FATES.map(([fate, words]) => (
        <Entry key={fate} words={words} width={16}>
          <PressMark fate={fate} />
        </Entry>
      ))}
      <Entry words="deflection" width={16}>
        <path class="lane-deflection" d="M0 -6V6" />
      </Entry>
      <Entry words="twice" width={16}>
        <path class="lane-deflection" d="M-1.5 -6V6M1.5 -6V6" />
      </Entry>
      <Entry words="swing missed" width={14}>
        <path class="lane-missed" d={`M-3.5 0${MISSED_SHAPE}`} />
      </Entry>
      {GESTURE_DETECTOR_IDS.map((id) => (
        <Entry key={id} words={DETECTORS[id].name.toLowerCase()} width={14}>
          <GestureMark id={id} />
        </Entry>
      ))}
      <Entry words="swings" width={22}>
        <path class="label-swing" d="M-10 5Q-5 -9 0 5Q5 -9 10 5" />
      </Entry>
      <Entry words="stop" width={8}>
        <path class="lane-stop" d="M0 -5V5" />
      </Entry>
      <Entry words="still" width={14}>
        <path class="label-still" d="M-7 2h14v2h-14z" />
      </Entry>
      <Entry words="labelled gesture" width={14}>
        <path class="label-gesture label-thrust" d="M-4 -4L4 0L-4 4zM-6 6H6" />
      </Entry>
      <Entry words="drill" width={14}>
        <path class="label-drill" d="M-6 -5H6V5H-6z" />
      </Entry>
      {openDecisions.value && (
        <Entry words="prop differs" width={14}>
          <path class="lane-differs" d={DIFFERENCE_SHAPE} />
        </Entry>
      )}
    </ul>
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
