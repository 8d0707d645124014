import type { FieldPath } from '../../server/engine/settings/candidateRules.ts';
import { editedCandidate, sight } from '../state/store.ts';
import { VIEW_FACTS } from '../state/views.ts';
import { DeflectionButtonField, PowerButtonField } from './ButtonFields.tsx';
import { Fields } from './Field.tsx';

/** What of the guard is about its button, and what of the deflection. */
export const POWER_FIELDS: readonly FieldPath[] = [
  'guard.decideAt',
  'guard.heldLimitMs',
  'guard.pressLength',
  'guard.longFromMs',
  'guard.debounceMs',
];
export const DEFLECTION_BUTTON_FIELDS: readonly FieldPath[] = [
  'deflection.switchedOn',
  'deflection.debounceMs',
];

/** What the buttons do: the candidate's rules, and which button each is in the open take. */
export function ButtonsTable() {
  const isHeld = editedCandidate.value.deflection.switchedOn === 'held';
  const isOfGuard = VIEW_FACTS[sight.view.value].isOfGuard ?? false;
  return (
    <>
      <h3 class="buttons-of">Power</h3>
      <Fields group="guard" paths={POWER_FIELDS} />
      <PowerButtonField name="In this take" />
      {!isOfGuard && (
        <>
          <h3 class="buttons-of">Deflection</h3>
          <Fields group="deflection" paths={DEFLECTION_BUTTON_FIELDS} />
          {isHeld && <DeflectionButtonField name="In this take" />}
        </>
      )}
    </>
  );
}

/** What is not as it is by default, in a few words; '' where all is. */
export function buttonsBrief(): string {
  const { guard, deflection } = editedCandidate.value;
  const acts = { press: '', release: 'power: release', held: 'power: held' }[guard.decideAt];
  const on = deflection.switchedOn === 'held' ? 'deflect: held' : '';
  return [acts, on].filter((text) => text !== '').join(', ');
}
