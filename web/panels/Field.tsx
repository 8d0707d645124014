import { useId, useState } from 'preact/hooks';
import {
  type ChoicePath,
  FIELD_PATHS,
  type FieldPath,
  isNumberPath,
  limited,
  type NumberPath,
  readField,
  settingAt,
} from '../../server/engine/settings/candidateRules.ts';
import { dispatch, editedCandidate, sight } from '../state/store.ts';
import { numberOf } from './numberOf.ts';

/** Every setting of a group, or those of it that are named, or all but those. */
export function Fields(props: {
  readonly group: string;
  readonly paths?: readonly FieldPath[];
  readonly without?: readonly FieldPath[];
}) {
  const { group, paths, without = [] } = props;
  const shown = FIELD_PATHS.filter(
    (path) =>
      path.startsWith(`${group}.`) &&
      (paths?.includes(path) ?? true) &&
      !without.includes(path) &&
      isShown(path),
  );
  return (
    <>
      {shown.map((path) =>
        isNumberPath(path) ? <NumberField key={path} path={path} /> : <ChoiceField key={path} path={path} />,
      )}
    </>
  );
}

/** What makes no difference as things are set is not shown. */
function isShown(path: FieldPath): boolean {
  const setting = settingAt(path as NumberPath);
  if (!isNumberPath(path) || setting.onlyWith === undefined) return true;
  return setting.onlyWith.values.includes(readField(editedCandidate.value, setting.onlyWith.path));
}

/** A setting as a slider and a number, tied to each other and to its line on the chart. */
export function NumberField({ path }: { readonly path: NumberPath }) {
  const id = useId();
  const { name, label, min: least, max: most, sliderMax, step } = settingAt(path);
  const value = Number(readField(editedCandidate.value, path));
  const min = least < step ? least : Math.min(least, sliderMax);
  const top = Math.max(sliderMax, Math.min(value, most));
  const note = wholeOf(path, value);
  const set = (to: number, gesture: string | null): void => {
    if (to >= least && to <= most) change(path, to, gesture);
  };
  return (
    <div class="field">
      <label for={id} title={label}>
        {name} {note && <small>{note}</small>}
      </label>
      <input
        type="range"
        aria-label={`${label}, slider`}
        min={min}
        max={top}
        step={step}
        value={value}
        style={{ '--part': (value - min) / (top - min) }}
        onInput={(event) => set(limited(path, Number(event.currentTarget.value)), `slider ${path}`)}
      />
      <NumberBox id={id} path={path} value={value} set={set} />
    </div>
  );
}

/** A number to type. What is no number within bounds is marked as wrong and changes nothing. */
function NumberBox(props: {
  id: string;
  path: NumberPath;
  value: number;
  set(to: number, gesture: string | null): void;
}) {
  const rule = settingAt(props.path);
  const [draft, setDraft] = useState<string | null>(null);
  const isWrong = draft !== null && !isWithin(draft, rule);
  // The value may move on under the cursor, as by undo: then what was typed is old.
  const isCurrent = draft !== null && (isWrong || numberOf(draft) === props.value);
  const bounds = `Between ${rule.min} and ${rule.max}${rule.unit ? ` ${rule.unit}` : ''}`;
  const onKeyDown = (event: KeyboardEvent): void => {
    // Escape first discards what was typed; with nothing typed it is the page's.
    if (event.key === 'Escape' && draft !== null) event.preventDefault();
    if (event.key === 'Escape' || event.key === 'Enter') setDraft(null);
    const sign = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0;
    if (sign === 0) return;
    event.preventDefault();
    setDraft(null);
    props.set(
      limited(props.path, props.value + sign * rule.step * (event.shiftKey ? 10 : 1)),
      `keys ${props.path}`,
    );
  };
  return (
    <span class={`number ${isWrong ? 'is-wrong' : ''}`}>
      <input
        id={props.id}
        type="text"
        inputMode="decimal"
        autocomplete="off"
        value={isCurrent ? draft : String(Number(props.value.toFixed(4)))}
        aria-invalid={isWrong}
        title={bounds}
        onFocus={(event) => event.currentTarget.select()}
        onInput={(event) => {
          const text = event.currentTarget.value;
          setDraft(text);
          if (isWithin(text, rule)) props.set(numberOf(text), `typing ${props.path}`);
        }}
        onBlur={() => setDraft(null)}
        onKeyDown={onKeyDown}
      />
      <span class="unit">{rule.unit}</span>
      {isWrong && (
        <span class="wrong-hint" role="alert">
          {bounds}
        </span>
      )}
    </span>
  );
}

function isWithin(text: string, { min, max }: { readonly min: number; readonly max: number }): boolean {
  const value = numberOf(text);
  return value >= min && value <= max;
}

/** A setting with a few named values. */
export function ChoiceField({ path }: { readonly path: ChoicePath }) {
  const id = useId();
  const { name, choices } = settingAt(path);
  return (
    <div class="field is-choice">
      <label for={id}>{name}</label>
      <select
        id={id}
        value={String(readField(editedCandidate.value, path))}
        onChange={(event) => change(path, choices[event.currentTarget.selectedIndex]![0], null)}
      >
        {choices.map(([value, name]) => (
          <option key={value} value={value}>
            {name}
          </option>
        ))}
      </select>
    </div>
  );
}

/** The value that a ratio stands for. */
function wholeOf(path: NumberPath, ratio: number): string | null {
  const { partOf } = settingAt(path);
  if (partOf === undefined) return null;
  const { unit } = settingAt(partOf);
  const whole = ratio * Number(readField(editedCandidate.value, partOf));
  return `${Number(whole.toFixed(unit === '°/s' ? 0 : 2))} ${unit}`;
}

function change(path: FieldPath, value: number | string, gesture: string | null): void {
  dispatch({ type: 'settingChanged', slot: sight.slot.peek(), path, value, gesture });
}
