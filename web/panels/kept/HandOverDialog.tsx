import { useEffect, useState } from 'preact/hooks';
import type { Mount } from '../../../server/engine/base/mount.ts';
import { type Bounds, isWithin, STATED_BOUNDS } from '../../../server/engine/base/statedBounds.ts';
import { DEFAULT_CALIBRATION, isMountStated } from '../../../server/engine/calibrate/calibration.ts';
import { changesText, takesFor } from '../../../server/engine/kept/stale.ts';
import type { StoredSetting, TakeDocument } from '../../../server/http/schemas.ts';
import { messageOf } from '../../state/notices.ts';
import { changesById } from '../../state/settingChanges.ts';
import { workspace } from '../../state/workspace.ts';
import { documents } from '../../takes/documents.ts';
import { Dialog } from '../Dialog.tsx';
import { MountFields } from '../MountFields.tsx';
import { numberOf } from '../numberOf.ts';
import type { PropFigures } from './handOver.ts';
import { HAND_OVER_KINDS, type HandOverKind } from './handOverKinds.ts';

const RATE: Bounds = { min: 10, max: 10_000, unit: 'Hz' };
const SCALE: Bounds = { min: 0.5, max: 2, unit: '' };

/** Writes a setting as what a prop's maker needs, for the prop that its takes were recorded on. */
export function HandOverDialog({ setting, onClose }: { readonly setting: StoredSetting; onClose(): void }) {
  const [kind, setKind] = useState<HandOverKind>('sheet');
  const [texts, setTexts] = useState({ rateHz: '200', leverArmM: '0', accelScale: '1' });
  const [mount, setMount] = useState<Mount>(DEFAULT_CALIBRATION.mount);
  const [isMountSaid, setMountSaid] = useState(false);
  const [from, setFrom] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [saved, setSaved] = useState<readonly string[]>([]);
  useEffect(() => {
    const [take] = takesFor(setting, workspace.peek()?.takes ?? []);
    if (!take) return;
    const told = ({ calibration }: TakeDocument): void => {
      const { leverArmM, accelScale } = calibration;
      setTexts({
        rateHz: String(Math.round(take.rateHz)),
        leverArmM: String(leverArmM),
        accelScale: String(accelScale),
      });
      setMount(calibration.mount);
      setMountSaid(isMountStated(calibration));
      setFrom(take.title);
    };
    documents
      .read(take.id, take.revision)
      .then(told, (error: unknown) => setProblem(`“${take.title}” could not be read: ${messageOf(error)}`));
  }, [setting.id]);
  const changes = changesById.value.get(setting.id) ?? [];
  const { says, usesProp } = HAND_OVER_KINDS[kind];
  const numbers = {
    rateHz: numberOf(texts.rateHz),
    leverArmM: numberOf(texts.leverArmM),
    accelScale: numberOf(texts.accelScale),
  };
  const isUsable =
    isWithin(numbers.rateHz, RATE) &&
    isWithin(numbers.leverArmM, STATED_BOUNDS.leverArmM) &&
    isWithin(numbers.accelScale, SCALE);
  const field = (name: keyof typeof texts, label: string, bounds: Bounds) => (
    <label>
      {label}
      <span class="number">
        <input
          type="text"
          inputMode="decimal"
          value={texts[name]}
          aria-invalid={!isWithin(numbers[name], bounds)}
          onInput={(event) => setTexts({ ...texts, [name]: event.currentTarget.value })}
        />
        <span class="unit">{bounds.unit}</span>
      </span>
      {!isWithin(numbers[name], bounds) && (
        <span class="wrong-hint" role="alert">
          Between {bounds.min} and {bounds.max} {bounds.unit}
        </span>
      )}
    </label>
  );
  const write = async (): Promise<void> => {
    const figures: PropFigures = { ...numbers, mount };
    try {
      setProblem(null);
      setSaved([]);
      // What writes C is large, and seldom needed.
      const { handOver } = await import('./handOver.ts');
      setSaved(await handOver(setting, kind, figures, changes));
    } catch (error) {
      setProblem(messageOf(error));
    }
  };
  return (
    <Dialog title={`Hand over “${setting.name}”`} onClose={onClose}>
      <div class="hand-over">
        <label>
          As
          <select value={kind} onChange={(event) => setKind(event.currentTarget.value as HandOverKind)}>
            {Object.entries(HAND_OVER_KINDS).map(([id, { name }]) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <p class="quiet">{says}</p>
        {changes.length > 0 && (
          <p class="caution-line" data-standing="stale">
            {changes.some(({ kind }) => kind === 'unjudged') ? '' : 'Out of date. '}
            {changesText(changes)} Judge it first, or hand it over as it is.
          </p>
        )}
        {usesProp && (
          <>
            {field('rateHz', 'Samples a second on the prop', RATE)}
            {field('leverArmM', 'Lever arm: turning point to sensor', STATED_BOUNDS.leverArmM)}
            {field('accelScale', 'Factor on the accelerometer', SCALE)}
            <MountFields
              mount={mount}
              isAssumed={!isMountSaid}
              onChange={(stated) => {
                setMount(stated);
                setMountSaid(true);
              }}
            />
            {!isMountSaid && (
              <p class="caution-line">
                Nobody has said which way the blade points: what is written takes +x of the sensor for it.
              </p>
            )}
            {from !== null && <p class="quiet">Filled in from the take “{from}”.</p>}
          </>
        )}
        {problem !== null && (
          <p class="problem" role="alert">
            {problem}
          </p>
        )}
        {saved.length > 0 && (
          <p class="good" role="status">
            Saved by your browser: {saved.join(', ')}.
          </p>
        )}
        <p class="quiet">A guard is a convenience, no safety device. Try a setting in clear space first.</p>
        <footer>
          <button type="button" class="main" disabled={usesProp && !isUsable} onClick={() => void write()}>
            {kind === 'template' ? 'Choose a template…' : 'Save'}
          </button>
          <button type="button" onClick={onClose}>
            Close
          </button>
        </footer>
      </div>
    </Dialog>
  );
}
