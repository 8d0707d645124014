import {
  limited,
  type NumberPath,
  readField,
  settingAt,
} from '../../server/engine/settings/candidateRules.ts';
import { valueAt, yOf } from '../charts/geometry.ts';
import type { Slot } from '../state/model.ts';
import { candidates, dispatch, sight } from '../state/store.ts';
import { followDrag } from './followDrag.ts';

export interface ThresholdProps {
  readonly slot: Slot;
  readonly path: NumberPath;
  readonly name: string;
  readonly hue: string;
  readonly range: readonly [number, number];
  readonly height: number;
  /** Which of the places along the line its tag takes, so that equal thresholds do not cover each other. */
  readonly place: number;
  readonly isQuiet: boolean;
  /** Another line of the stave lies below it: that one shows between its dashes. */
  readonly isShared?: boolean;
  /** The other side of a threshold on a magnitude. */
  readonly isMirrored?: boolean;
}

/** Heights of what a pointer takes hold of, and of the tag, which stays inside the plot. As in score.css. */
const GRIP_PX = 14;
const TAG_PX = 16;

/** A threshold: a line to drag, with a tag that is a slider for the keyboard and for screen readers. */
export function Threshold(props: ThresholdProps) {
  const { min, max, step, unit, label } = settingAt(props.path);
  const candidate = candidates[props.slot].value;
  const value = Number(readField(candidate, props.path));
  const shown = props.isMirrored ? -value : value;
  const y = yOf(shown, props.range, props.height);
  const isEdited = sight.slot.value === props.slot;
  // Where both candidates agree, one tag says it: that of the one under edit.
  const other = candidates[props.slot === 'a' ? 'b' : 'a'].value;
  const isHidden = !isEdited && Number(readField(other, props.path)) === value;

  const set = (to: number, name: string): void => {
    const value = limited(props.path, Math.round(to / step) * step);
    dispatch({ type: 'settingChanged', slot: props.slot, path: props.path, value, gesture: name });
  };
  const down = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    event.stopPropagation();
    const over = (event.currentTarget as HTMLElement).closest('.over')!;
    const gesture = `drag ${props.slot} ${props.path} ${event.timeStamp}`;
    if (!isEdited) dispatch({ type: 'slotChosen', slot: props.slot });
    followDrag(event, gesture, (_x, clientY) => {
      const { top, height } = over.getBoundingClientRect();
      const at = valueAt(Math.min(Math.max(0, clientY - top), height), props.range, height);
      set(props.isMirrored ? -at : at, gesture);
    });
  };
  const nudge = (event: KeyboardEvent): void => {
    const sign =
      event.key === 'ArrowUp' || event.key === 'ArrowRight'
        ? 1
        : event.key === 'ArrowDown' || event.key === 'ArrowLeft'
          ? -1
          : 0;
    if (sign === 0) return;
    event.preventDefault();
    set(value + sign * step * (event.shiftKey ? 10 : 1), `keys ${props.slot} ${props.path}`);
  };

  if (!(y >= -1 && y <= props.height + 1)) return null;
  const lineTop = y - GRIP_PX / 2;
  const tagTop = Math.min(Math.max(0, y - TAG_PX / 2), props.height - TAG_PX);
  const text = `${props.name} ${props.slot.toUpperCase()}`;
  return (
    <div
      class={`threshold ${props.slot === 'b' ? 'is-b' : ''} ${isEdited ? 'is-edited' : ''} ${props.isQuiet ? 'is-quiet' : ''} ${props.isShared ? 'is-shared' : ''}`}
      style={{
        top: `${lineTop}px`,
        '--hue': `var(--${props.hue})`,
        '--place': props.place,
      }}
      role="slider"
      tabIndex={props.isMirrored || isHidden ? -1 : 0}
      aria-hidden={props.isMirrored || isHidden}
      aria-label={`${label}, candidate ${props.slot.toUpperCase()}`}
      aria-orientation="vertical"
      aria-valuemin={min}
      aria-valuemax={max}
      aria-valuenow={value}
      aria-valuetext={`${value} ${unit}`}
      data-threshold={`${props.slot}.${props.path}${props.isMirrored ? '.mirror' : ''}`}
      onPointerDown={down}
      onKeyDown={nudge}
    >
      <span class="line" />
      {!props.isMirrored && !isHidden && (
        <span class="tag" style={{ top: `${tagTop - lineTop}px` }}>
          {text} <b>{Number(value.toFixed(3))}</b>
        </span>
      )}
    </div>
  );
}
