import { signal } from '@preact/signals';
import { powerPressesOf } from '../../server/engine/base/buttons.ts';
import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { TakeSummary } from '../../server/http/schemas.ts';
import { type Tally, tallyOf } from '../compare/tally.ts';
import { contentOf } from '../takes/content.ts';
import { desk } from '../takes/desk.ts';
import { documents } from '../takes/documents.ts';
import { namedTally } from '../takes/named.ts';
import { whenRested } from '../takes/question.ts';
import { found } from '../takes/remembered.ts';
import { calibratedOf, type Request } from '../takes/requests.ts';
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

/** A take's tally and what it was taken from. */
type Noted = readonly [id: string, restsOn: readonly unknown[], tallied: TakeTally];

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
    (stopped) => void tallyAll(stopped),
  );
}

/** A comparison has found the same and more, and what was found before is looked up in one go: those takes are not read again. */
async function tallyAll(stopped: AbortSignal): Promise<void> {
  const compared = new Map(comparedTakes.peek().map(({ id, a }) => [id, a]));
  const takes = workspace.peek()?.takes ?? [];
  const asCompared: Noted[] = [];
  const rest = takes.filter((take) => {
    const scores = ownSetting(take) === null ? compared.get(take.id) : null;
    if (!scores) return true;
    if (!isTakenFrom(take.id, [scores]))
      asCompared.push([take.id, [scores], { ...tallyOf(scores.presses), settingId: null }]);
    return false;
  });
  note(asCompared);
  const isListed = ({ id }: TakeSummary) => labelsByTake.peek()[id] === undefined;
  const isKnown = (take: TakeSummary) =>
    isListed(take) && isTakenFrom(take.id, restsOnOf(take, take.content));
  const unknown = rest.filter((take) => isListed(take) && !isKnown(take));
  const tallied = await found.known<Tally>(
    unknown.map((take) => namedTally(take.content, settingOf(take).candidate)),
  );
  if (stopped.aborted) return;
  note(
    unknown.flatMap((take, i): Noted[] => {
      const tally = tallied[i];
      if (!tally) return [];
      return [[take.id, restsOnOf(take, take.content), { ...tally, settingId: settingOf(take).settingId }]];
    }),
  );
  for (const take of rest) if (!isKnown(take)) void tally(take, stopped);
}

/** The setting that a take is judged by: its performer's, or else candidate A. */
function settingOf(take: TakeSummary): { readonly candidate: Candidate; readonly settingId: string | null } {
  const setting = ownSetting(take);
  return { candidate: setting?.candidate ?? candidates.a.peek(), settingId: setting?.id ?? null };
}

function restsOnOf(take: TakeSummary, { signals, labels }: TakeContent): readonly unknown[] {
  const { candidate, settingId } = settingOf(take);
  return [candidate, settingId, signals, labels];
}

async function tally(take: TakeSummary, stopped: AbortSignal): Promise<void> {
  const { id } = take;
  const takes = workspace.peek();
  if (unreadable.get(id) === takes) return;
  let restsOn: readonly unknown[] = [];
  let settingId: string | null = null;
  const prepare = async (): Promise<Request<'tally'> | null> => {
    const document = await documents.read(id, take.revision);
    const labels = labelsByTake.peek()[id] ?? document.labels;
    const content = await contentOf(document, labels);
    const setting = settingOf(take);
    settingId = setting.settingId;
    restsOn = restsOnOf(take, content);
    if (isTakenFrom(id, restsOn)) return null;
    const presses = powerPressesOf(document);
    const { candidate } = setting;
    return { kind: 'tally', ...calibratedOf(document), presses, labels, candidate, content };
  };
  try {
    const tallied = await desk.askOf('tally', id, prepare, { urgency: 'background', signal: stopped });
    if (tallied) note([[id, restsOn, { ...tallied, settingId }]]);
  } catch {
    // It says why when it is opened; the list just shows no tally for it.
    if (!stopped.aborted) unreadable.set(id, takes);
  }
}

function isTakenFrom(id: string, restsOn: readonly unknown[]): boolean {
  return takenFrom.get(id)?.every((part, i) => part === restsOn[i]) ?? false;
}

/** Notes them in one change, however many: whatever shows the list is told once. */
function note(noted: readonly Noted[]): void {
  const changed = noted.filter(([id, restsOn]) => !isTakenFrom(id, restsOn));
  if (changed.length === 0) return;
  for (const [id, restsOn] of changed) takenFrom.set(id, restsOn);
  tallies.value = new Map([...tallies.value, ...changed.map(([id, , tallied]) => [id, tallied] as const)]);
}
