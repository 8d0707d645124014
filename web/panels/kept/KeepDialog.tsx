import { useState } from 'preact/hooks';
import { takesFor } from '../../../server/engine/kept/stale.ts';
import type { StoredSetting } from '../../../server/http/schemas.ts';
import { judgeSetting } from '../../state/judgeSetting.ts';
import {
  changeSetting,
  keepAgain,
  keepCandidate,
  keepInstead,
  keptSettings,
  type SettingNames,
  takeBackKeep,
} from '../../state/keptSettings.ts';
import type { Slot } from '../../state/model.ts';
import { notify } from '../../state/notices.ts';
import { openTake } from '../../state/openTake.ts';
import { noteBeside } from '../../state/steps.ts';
import { bothCandidates, dispatch, sight } from '../../state/store.ts';
import { takesInScope } from '../../state/takeInputs.ts';
import { VIEW_FACTS } from '../../state/views.ts';
import { workspace } from '../../state/workspace.ts';
import { candidateLine } from '../compare/CandidateLines.tsx';
import { Dialog } from '../Dialog.tsx';
import { MountLine } from '../MountLine.tsx';

/** Keeps a candidate under a name, or changes what is said of a setting that is kept. */
export function KeepDialog(props: {
  /** The candidate to keep, or the setting to change. */
  readonly of: Slot | StoredSetting;
  onClose(): void;
}) {
  const { of, onClose } = props;
  const isNew = typeof of === 'string';
  const [names, setNames] = useState<SettingNames>(() => (isNew ? proposedNames() : of));
  const [isBusy, setBusy] = useState(false);
  const set = (change: Partial<SettingNames>): void => setNames({ ...names, ...change });
  const name = names.name.trim();
  const isTaken = (keptSettings.value ?? []).some((one) => one.name === name && (isNew || one.id !== of.id));
  const keep = async (): Promise<void> => {
    setBusy(true);
    const { prop, performers, note } = names;
    const said = { name, prop: prop.trim(), performers, note };
    const setting = isNew ? await keepCandidate(of, said) : await changeSetting(of, said);
    setBusy(false);
    if (setting === null) return;
    if (isNew) {
      noteBeside({
        undone: () => void takeBackKeep(setting.id),
        redone: () => void keepAndJudge(setting.id),
      });
      void judgeSetting(setting);
      notify('fact', `Kept “${name}”. It is being judged on its takes.`, {
        label: 'Show it',
        run: () => dispatch({ type: 'viewChosen', view: 'kept' }),
      });
    }
    onClose();
  };
  // Of the same performers: whoever found a better one may mean it to take that one's place.
  const replaced = isNew ? (keptSettings.value ?? []).find((one) => isForSame(one, names)) : undefined;
  const replace = async (setting: StoredSetting): Promise<void> => {
    setBusy(true);
    const kept = await keepInstead(setting, of as Slot);
    setBusy(false);
    if (kept === null) return;
    void judgeSetting(kept);
    notify('fact', `“${kept.name}” has the values of candidate ${(of as Slot).toUpperCase()} now.`);
    onClose();
  };
  return (
    <Dialog title={isNew ? `Keep candidate ${of.toUpperCase()}` : `Change “${of.name}”`} onClose={onClose}>
      <form
        class="keep"
        onSubmit={(event) => {
          event.preventDefault();
          if (name !== '') void keep();
        }}
      >
        <label>
          Name
          <input
            type="text"
            value={names.name}
            maxLength={200}
            required
            onInput={(event) => set({ name: event.currentTarget.value })}
          />
        </label>
        {isTaken && <p class="caution">Another setting has this name already.</p>}
        <Performers chosen={names.performers} onChange={(performers) => set({ performers })} />
        <label>
          Prop <span class="quiet">empty: any</span>
          <input
            type="text"
            value={names.prop}
            maxLength={200}
            list="known-props"
            onInput={(event) => set({ prop: event.currentTarget.value })}
          />
        </label>
        <datalist id="known-props">
          {[...new Set((workspace.value?.takes ?? []).map(({ prop }) => prop))]
            .filter((prop) => prop !== '')
            .map((prop) => (
              <option key={prop} value={prop} />
            ))}
        </datalist>
        <label>
          Note
          <textarea
            rows={2}
            value={names.note}
            onInput={(event) => set({ note: event.currentTarget.value })}
          />
        </label>
        {isNew && <MountLine takes={takesFor(names, workspace.value?.takes ?? [])} />}
        {isNew && (
          <p>
            Kept as they are set now: {candidateLine(bothCandidates.value[of])}. Stab, impact and twist go
            along.
          </p>
        )}
        {isNew && (
          <p class="quiet">
            It is then judged on the takes of its performers, and what is found is kept with it.
          </p>
        )}
        <footer>
          <button type="submit" class="main" disabled={name === '' || isBusy}>
            Keep
          </button>
          {replaced && (
            <button type="button" disabled={isBusy} onClick={() => void replace(replaced)}>
              Replace “{replaced.name}” by it
            </button>
          )}
          <button type="button" onClick={onClose}>
            Cancel
          </button>
        </footer>
      </form>
    </Dialog>
  );
}

function isForSame(one: StoredSetting, { performers, prop }: SettingNames): boolean {
  const all = (names: readonly string[]): string => [...names].sort().join('\n');
  return all(one.performers) === all(performers) && one.prop === prop.trim();
}

async function keepAndJudge(id: string): Promise<void> {
  const setting = await keepAgain(id);
  if (setting?.evidence === null) await judgeSetting(setting);
}

/** Whoever is recorded in the workspace, and whoever the setting names already. */
function Performers(props: {
  readonly chosen: readonly string[];
  onChange(performers: readonly string[]): void;
}) {
  const { chosen, onChange } = props;
  const recorded = (workspace.value?.takes ?? []).map(({ performer }) => performer.trim());
  const all = [...new Set([...recorded, ...chosen])].filter((name) => name !== '').sort();
  return (
    <fieldset>
      <legend>
        For whom <span class="quiet">none ticked: anybody</span>
      </legend>
      {all.length === 0 && <p class="quiet">No take names its performer yet.</p>}
      {all.map((performer) => (
        <label key={performer} class="check">
          <input
            type="checkbox"
            checked={chosen.includes(performer)}
            onChange={(event) =>
              onChange(
                event.currentTarget.checked
                  ? [...chosen, performer]
                  : chosen.filter((one) => one !== performer),
              )
            }
          />
          {performer}
        </label>
      ))}
    </fieldset>
  );
}

/** For whoever is looked at: the performer of the open take or, in Sweep, of all that it looks at, if it is one. */
function proposedNames(): SettingNames {
  const document = openTake.peek()?.document;
  const looksAtMany = VIEW_FACTS[sight.view.peek()].looksAt === 'chosenTakes';
  const seen = looksAtMany ? takesInScope.peek() : document ? [document] : [];
  const performers = new Set(seen.map((take) => take.performer.trim()));
  const performer = performers.size === 1 ? [...performers][0]! : '';
  const taken = new Set((keptSettings.peek() ?? []).map(({ name }) => name));
  const base = performer === '' ? 'Setting' : performer;
  let name = base;
  for (let i = 2; taken.has(name); ++i) name = `${base} ${i}`;
  return { name, prop: document?.prop ?? '', performers: performer === '' ? [] : [performer], note: '' };
}
