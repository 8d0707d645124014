import { useState } from 'preact/hooks';
import { notify } from '../../state/notices.ts';
import { numberOf } from '../numberOf.ts';

/** A number that the user may state instead of what was found. */
export function NumberSet(props: {
  name: string;
  unit: string;
  value: number;
  min: number;
  max: number;
  onSet(value: number): void;
}) {
  const { name, unit, value, min, max } = props;
  // What is being typed is kept apart: the card is painted anew whenever a check comes in.
  const [typed, setTyped] = useState<string | null>(null);
  return (
    <span class="number">
      <input
        type="text"
        inputMode="decimal"
        autocomplete="off"
        aria-label={name}
        value={typed ?? value}
        onInput={(event) => setTyped(event.currentTarget.value)}
        onChange={(event) => {
          setTyped(null);
          const wanted = numberOf(event.currentTarget.value);
          if (wanted >= min && wanted <= max) return props.onSet(wanted);
          notify('error', `${name}: between ${min} and ${max}.`);
          event.currentTarget.value = String(value);
        }}
      />
      <span class="unit">{unit}</span>
    </span>
  );
}
