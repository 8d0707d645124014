import { useState } from 'preact/hooks';
import { counted } from '../../../server/engine/words/count.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { workspace } from '../../state/workspace.ts';
import { Dialog } from '../Dialog.tsx';
import { copyCalibration } from './copyCalibration.ts';

/** Which other takes were recorded with the same prop, and what of the calibration they share. */
export function CopyDialog({ take, onClose }: { readonly take: OpenTake; onClose(): void }) {
  const others = (workspace.value?.takes ?? []).filter(({ id }) => id !== take.document.id);
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [sensor, setSensor] = useState(true);
  const [arm, setArm] = useState(true);
  const [isBusy, setBusy] = useState(false);
  const toggle = (id: string): void => {
    const next = new Set(chosen);
    if (!next.delete(id)) next.add(id);
    setChosen(next);
  };
  const copy = async (): Promise<void> => {
    setBusy(true);
    await copyCalibration(take.document.calibration, [...chosen], { sensor, arm });
    onClose();
  };
  return (
    <Dialog title="Use this calibration for other takes of the prop" onClose={onClose}>
      <fieldset class="copy-parts">
        <legend>What they share</legend>
        <label>
          <input type="checkbox" checked={sensor} onChange={() => setSensor(!sensor)} /> Mount and
          accelerometer scale: the same prop
        </label>
        <label>
          <input type="checkbox" checked={arm} onChange={() => setArm(!arm)} /> Lever arm and blade length:
          the same hold, too
        </label>
      </fieldset>
      {others.length === 0 ? (
        <p class="quiet">This workspace holds no other take yet.</p>
      ) : (
        <fieldset class="copy-takes">
          <legend>Takes</legend>
          {others.map(({ id, title, performer, drill }) => (
            <label key={id}>
              <input type="checkbox" checked={chosen.has(id)} onChange={() => toggle(id)} /> {title}
              <span class="quiet">{[performer, drill].filter((part) => part !== '').join(' · ')}</span>
            </label>
          ))}
        </fieldset>
      )}
      <footer>
        <button
          type="button"
          class="main"
          disabled={chosen.size === 0 || !(sensor || arm) || isBusy}
          onClick={() => void copy()}
        >
          {chosen.size === 0 ? 'Choose takes' : `Use for ${counted(chosen.size, 'take')}`}
        </button>
        <button type="button" onClick={onClose}>
          Cancel
        </button>
      </footer>
    </Dialog>
  );
}
