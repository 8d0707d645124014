import { RECORDED_ON } from '../../server/engine/base/session.ts';
import { STATED_BOUNDS } from '../../server/engine/base/statedBounds.ts';
import { isMountStated, withMount, withoutMount } from '../../server/engine/calibrate/calibration.ts';
import { sourceAddress } from '../api.ts';
import { reopenColumns } from '../state/importing.ts';
import { notify } from '../state/notices.ts';
import { changeDocument, openTake } from '../state/openTake.ts';
import { removeTakes } from '../state/removing.ts';
import { saveAll } from '../state/saving.ts';
import { DeflectionButtonField, PowerButtonField } from './ButtonFields.tsx';
import { MOUNT_NOT_SAID, setCalibration } from './calibration/accept.ts';
import { MountFields } from './MountFields.tsx';
import { numberOf } from './numberOf.ts';

/** The open take: names, prop, buttons; and its removal. */
export function TakePanel() {
  const take = openTake.value;
  if (!take) return null;
  const { document } = take;
  const { calibration } = document;
  return (
    <details class="card settings take-panel">
      <summary>
        <h2>This take</h2>
        <span class="unit">lever arm {calibration.leverArmM} m</span>
      </summary>
      <TextField
        name="Title"
        isNeeded
        value={document.title}
        onChange={(title) => changeDocument({ title })}
      />
      <TextField
        name="Performer"
        value={document.performer}
        onChange={(performer) => changeDocument({ performer })}
      />
      <TextField name="Drill" value={document.drill} onChange={(drill) => changeDocument({ drill })} />
      {RECORDED_ON.map((field) => (
        <TextField
          key={field}
          name={RECORDED_NAMES[field]}
          value={document[field] ?? ''}
          onChange={(value) => changeDocument({ [field]: value })}
        />
      ))}
      <MetreField
        name="Lever arm: turning point to sensor"
        value={calibration.leverArmM}
        min={STATED_BOUNDS.leverArmM.min}
        max={STATED_BOUNDS.leverArmM.max}
        onChange={(leverArmM) => changeDocument({ calibration: { ...calibration, leverArmM } })}
      />
      <MetreField
        name="Turning point to tip"
        value={calibration.bladeLengthM}
        min={STATED_BOUNDS.bladeLengthM.min}
        max={STATED_BOUNDS.bladeLengthM.max}
        onChange={(bladeLengthM) => changeDocument({ calibration: { ...calibration, bladeLengthM } })}
      />
      <div class="field">
        <MountFields
          mount={calibration.mount}
          isAssumed={!isMountStated(calibration)}
          onChange={(mount) => void setCalibration(calibration, withMount(calibration, mount), 'Mount set.')}
          onForget={() => void setCalibration(calibration, withoutMount(calibration), MOUNT_NOT_SAID)}
        />
      </div>
      <PowerButtonField />
      <DeflectionButtonField />
      <label class="notes">
        Notes
        <textarea
          rows={2}
          value={document.notes}
          onChange={(event) => void changeDocument({ notes: event.currentTarget.value })}
        />
      </label>
      {document.report.warnings.length > 0 && (
        <ul class="warnings">
          {document.report.warnings.map((warning) => (
            <li key={warning}>{warning}</li>
          ))}
        </ul>
      )}
      <p class="take-actions">
        {document.sources.map((source, index) => (
          <a key={source.name} href={sourceAddress(document.id, index)} download={source.name}>
            {source.name}
          </a>
        ))}
        <span class="spacer" />
        <button
          type="button"
          class="small"
          title="Correct columns, units, signs, rate or mount: the take is read again from its file, and its labels stay"
          onClick={() => void readColumnsAgain()}
        >
          Read the columns again…
        </button>
        <button
          type="button"
          class="small"
          onClick={() => void removeTakes([document.id], `“${document.title}”`)}
        >
          Remove take
        </button>
      </p>
    </details>
  );
}

const RECORDED_NAMES = { prop: 'Prop', day: 'Day', firmware: 'Firmware', sensor: 'Sensor' } as const;

/** With what is not saved yet: what is read again goes on from what the server holds. */
async function readColumnsAgain(): Promise<void> {
  if (!(await saveAll())) return;
  const document = openTake.peek()?.document;
  if (document) await reopenColumns(document);
}

/** A text to change; one that must not be empty goes back to what it was. */
function TextField(props: {
  name: string;
  value: string;
  isNeeded?: boolean;
  onChange(value: string): Promise<void>;
}) {
  return (
    <label class="field">
      <span>{props.name}</span>
      <input
        type="text"
        value={props.value}
        maxLength={200}
        onChange={(event) => {
          const text = event.currentTarget.value.trim();
          if (text !== '' || !props.isNeeded) void props.onChange(text);
          else {
            notify('error', `${props.name}: must not be empty.`);
            event.currentTarget.value = props.value;
          }
        }}
      />
    </label>
  );
}

function MetreField(props: {
  name: string;
  value: number;
  min: number;
  max: number;
  onChange(value: number): Promise<void>;
}) {
  return (
    <label class="field">
      <span>{props.name}</span>
      <span class="number">
        <input
          type="text"
          inputMode="decimal"
          value={props.value}
          onChange={(event) => {
            const value = numberOf(event.currentTarget.value);
            if (value >= props.min && value <= props.max) void props.onChange(value);
            else {
              notify('error', `${props.name}: between ${props.min} and ${props.max} m.`);
              event.currentTarget.value = String(props.value);
            }
          }}
        />
        <span class="unit">m</span>
      </span>
    </label>
  );
}
