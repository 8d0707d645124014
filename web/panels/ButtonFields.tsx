import { useId } from 'preact/hooks';
import { buttonsOf, deflectionButtonOf } from '../../server/engine/base/buttons.ts';
import { changeDocument, openTake } from '../state/openTake.ts';

/** Which button of the open take's log powers; nothing where it has none. @param props.name  in sight, where it is not the whole */
export function PowerButtonField(props: { readonly name?: string }) {
  const document = openTake.value?.document;
  if (!document || buttonsOf(document).length === 0) return null;
  return (
    <ButtonField
      name={props.name}
      which="Power button"
      value={document.powerButton}
      buttons={buttonsOf(document)}
      onChange={(powerButton) => changeDocument({ powerButton })}
    />
  );
}

/** Which button deflections may wait for; 'none' where the log does not hold it. */
export function DeflectionButtonField(props: { readonly name?: string }) {
  const document = openTake.value?.document;
  if (!document) return null;
  return (
    <ButtonField
      name={props.name}
      which="Deflection button"
      value={deflectionButtonOf(document)}
      buttons={buttonsOf(document)}
      none="not in this log"
      onChange={(deflectionButton) => changeDocument({ deflectionButton })}
    />
  );
}

function ButtonField(props: {
  readonly name: string | undefined;
  readonly which: string;
  readonly value: string | null;
  readonly buttons: readonly string[];
  /** What it is called that there is no such button, where that can be said. */
  readonly none?: string;
  onChange(button: string | null): Promise<void>;
}) {
  const { name, which, value, buttons, none } = props;
  const id = useId();
  return (
    <div class="field is-choice">
      <label for={id}>{name ?? which}</label>
      <select
        id={id}
        aria-label={name && `${which} ${name.toLowerCase()}`}
        value={value ?? ''}
        onChange={(event) => void props.onChange(event.currentTarget.value || null)}
      >
        {none !== undefined && <option value="">{none}</option>}
        {buttons.map((button) => (
          <option key={button} value={button}>
            {button}
          </option>
        ))}
      </select>
    </div>
  );
}
