import { useEffect, useState } from 'preact/hooks';
import { judgeUnjudged } from '../../state/judgeSetting.ts';
import { keptSettings, pickSetting } from '../../state/keptSettings.ts';
import type { Slot } from '../../state/model.ts';
import { dispatch, sight } from '../../state/store.ts';
import { KeepDialog } from './KeepDialog.tsx';
import { KeptCard } from './KeptCard.tsx';

/** The settings of the workspace: for whom each is, how it did, and the ways out of here. */
export function KeptSettingsView() {
  const [kept, setKept] = useState<Slot | null>(null);
  const settings = keptSettings.value;
  useEffect(() => judgeUnjudged(settings ?? []), [settings]);
  if (settings === null) return <p class="empty">Reading the settings…</p>;
  const slots: readonly Slot[] = sight.showB.value ? ['a', 'b'] : ['a'];
  return (
    <div class="kept">
      <header class="compare-head">
        <div>
          <h2>Kept settings</h2>
          <p class="quiet">Each for a performer and a prop, judged on their takes.</p>
        </div>
        <span class="commands">
          {slots.map((slot) => (
            <button key={slot} type="button" onClick={() => setKept(slot)}>
              Keep {slot.toUpperCase()}…
            </button>
          ))}
          <button type="button" onClick={pickSetting}>
            Import a setting…
          </button>
        </span>
      </header>
      {settings.length === 0 && (
        <div class="empty">
          <p>No setting is kept yet. Find one in Sweep, then keep it under a name for its performer.</p>
          <button type="button" class="main" onClick={() => dispatch({ type: 'viewChosen', view: 'sweep' })}>
            Go to Sweep
          </button>
        </div>
      )}
      {settings.map((setting) => (
        <KeptCard key={setting.id} setting={setting} />
      ))}
      {kept && <KeepDialog of={kept} onClose={() => setKept(null)} />}
    </div>
  );
}
