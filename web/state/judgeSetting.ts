import { signal } from '@preact/signals';
import type { AskedTake } from '../../server/engine/kept/judgeSetting.ts';
import { takesFor } from '../../server/engine/kept/stale.ts';
import type { StoredSetting, TakeSummary } from '../../server/http/schemas.ts';
import { desk } from '../takes/desk.ts';
import { documents } from '../takes/documents.ts';
import type { Request } from '../takes/requests.ts';
import { changeSetting, keptSettings } from './keptSettings.ts';
import { messageOf, notify } from './notices.ts';
import { saveAtOnce } from './saving.ts';
import { workspace } from './workspace.ts';

export interface Judging {
  readonly done: number;
  readonly total: number;
}

/** Settings that are being judged, by id, and how far. */
export const judging = signal<ReadonlyMap<string, Judging>>(new Map());

/** Settings that were begun to be judged since the page was loaded. */
const begun = new Set<string>();

/** Judges what was never judged, such as what the page was left in the middle of; once, whatever comes of it. */
export function judgeUnjudged(settings: readonly StoredSetting[]): void {
  for (const setting of settings) {
    const hasTakes = takesFor(setting, workspace.peek()?.takes ?? []).length > 0;
    if (setting.evidence === null && hasTakes && !begun.has(setting.id)) void judgeSetting(setting);
  }
}

/** Judges a setting on its takes as they are now, and keeps the evidence with it. */
export async function judgeSetting(setting: StoredSetting): Promise<void> {
  const { id, name, candidate } = setting;
  if (judging.peek().has(id)) return;
  begun.add(id);
  const takes = takesFor(setting, workspace.peek()?.takes ?? []);
  if (takes.length === 0)
    return void notify(
      'error',
      `“${name}” is judged on no take: the workspace holds none of its performers.`,
    );
  try {
    tell(id, { done: 0, total: takes.length });
    await saveAtOnce();
    const asked: AskedTake[] = [];
    for (const take of takes) {
      asked.push(await judgeOn(take, candidate));
      tell(id, { done: asked.length, total: takes.length });
    }
    const judgedAt = new Date().toISOString();
    const evidence = await desk.ask({ kind: 'evidence', candidate, asked, judgedAt }, { urgency: 'view' });
    await keepEvidence(setting, evidence);
  } catch (error) {
    notify('error', `“${name}” could not be judged: ${messageOf(error)}`);
  } finally {
    tell(id, null);
  }
}

async function judgeOn(take: TakeSummary, candidate: StoredSetting['candidate']): Promise<AskedTake> {
  const prepare = async (): Promise<Request<'judge'>> => {
    const document = await documents.read(take.id, take.revision);
    return { kind: 'judge', takeId: take.id, document, candidate };
  };
  try {
    const asked = await desk.askOf('judge', take.id, prepare, { urgency: 'view' });
    return asked!;
  } catch (error) {
    throw new Error(`${take.title}: ${messageOf(error)}`);
  }
}

/** Not where the setting has other values by now, or is gone. */
async function keepEvidence(
  { id, candidate }: StoredSetting,
  evidence: StoredSetting['evidence'],
): Promise<void> {
  const now = keptSettings.peek()?.find((one) => one.id === id);
  if (now && JSON.stringify(now.candidate) === JSON.stringify(candidate))
    await changeSetting(now, { evidence });
}

function tell(id: string, progress: Judging | null): void {
  const next = new Map(judging.peek());
  if (progress === null) next.delete(id);
  else next.set(id, progress);
  judging.value = next;
}
