import { signal } from '@preact/signals';
import { powerPressesOf } from '../../server/engine/base/buttons.ts';
import type { TakeScores } from '../../server/engine/compare/takeScores.ts';
import type { TakeSummary } from '../../server/http/schemas.ts';
import { type Tally, tallyOf } from '../compare/tally.ts';
import { desk } from '../takes/desk.ts';
import { basisOf, documents } from '../takes/documents.ts';
import { whenRested } from '../takes/question.ts';
import type { Request } from '../takes/requests.ts';
import { comparedTakes } from './comparing.ts';
import { keptSettings } from './keptSettings.ts';
import { ownSetting } from './settingChanges.ts';
import { candidates, labelsByTake } from './store.ts';
import { workspace } from './workspace.ts';

export interface TakeTally extends Tally {
  /** The setting that was tallied; null for candidate A. */
  readonly settingId: string | null;
}

/** How the setting of each take's performer, or else candidate A, fares on it; a take is missing until it is computed. */
export const tallies = signal<ReadonlyMap<string, TakeTally>>(new Map());

/** What the tally of each take was taken from. */
const takenFrom = new Map<string, readonly unknown[]>();
/** Takes that could not be read, until the server tells of its takes anew. */
const unreadable = new Map<string, unknown>();

/** Starts to keep the tallies in step with settings, candidate A, labels and takes. */
export function startTallies(): void {
  whenRested(
    'background',
    () =>
      void [candidates.a.value, labelsByTake.value, workspace.value, comparedTakes.value, keptSettings.value],
    (stopped) => {
      const compared = new Map(comparedTakes.peek().map(({ id, a }) => [id, a]));
      for (const take of workspace.peek()?.takes ?? [])
        void tally(take, ownSetting(take) === null ? (compared.get(take.id) ?? null) : null, stopped);
    },
  );
}

/** A comparison has found the same and more: its takes are not read again. */
async function tally(take: TakeSummary, compared: TakeScores | null, stopped: AbortSignal): Promise<void> {
  const { id } = take;
  if (compared) return note(id, [compared], { ...tallyOf(compared.presses), settingId: null });
  const takes = workspace.peek();
  if (unreadable.get(id) === takes) return;
  let restsOn: readonly unknown[] = [];
  let settingId: string | null = null;
  const prepare = async (): Promise<Request<'tally'> | null> => {
    const document = await documents.read(id, take.revision);
    const { calibration, powerButton } = document;
    const setting = ownSetting(take);
    settingId = setting?.id ?? null;
    const candidate = setting?.candidate ?? candidates.a.peek();
    const labels = labelsByTake.peek()[id] ?? document.labels;
    restsOn = [candidate, labels, JSON.stringify([calibration, powerButton, settingId])];
    if (isTakenFrom(id, restsOn)) return null;
    const presses = powerPressesOf(document);
    return { kind: 'tally', takeId: id, calibration, presses, labels, candidate, basis: basisOf(document) };
  };
  try {
    const found = await desk.askOf('tally', id, prepare, { urgency: 'background', signal: stopped });
    if (found) note(id, restsOn, { ...found, settingId });
  } catch {
    // It says why when it is opened; the list just shows no tally for it.
    if (!stopped.aborted) unreadable.set(id, takes);
  }
}

function isTakenFrom(id: string, restsOn: readonly unknown[]): boolean {
  return takenFrom.get(id)?.every((part, i) => part === restsOn[i]) ?? false;
}

function note(id: string, restsOn: readonly unknown[], tallied: TakeTally): void {
  if (isTakenFrom(id, restsOn)) return;
  takenFrom.set(id, restsOn);
  tallies.value = new Map(tallies.value).set(id, tallied);
}
