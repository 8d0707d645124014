import { batch, computed, effect, signal, untracked } from '@preact/signals';
import type { Unfit } from '../../server/engine/choose/unfit.ts';
import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { TakeDocument, TakeSummary } from '../../server/http/schemas.ts';
import { contentOf } from '../takes/content.ts';
import { desk } from '../takes/desk.ts';
import { documents } from '../takes/documents.ts';
import { namedCheck } from '../takes/named.ts';
import { found } from '../takes/remembered.ts';
import { type CheckedTake, calibratedOf, type Request } from '../takes/requests.ts';
import { messageOf, notify } from './notices.ts';
import { documentSaved, takeStatus } from './openTake.ts';
import { sight } from './store.ts';
import { isInScope } from './takeScope.ts';
import { VIEW_FACTS } from './views.ts';
import { refreshWorkspace, workspace } from './workspace.ts';

/** Whether a take counts where settings are chosen and takes compared, and why not. */
export type Standing =
  | { readonly kind: 'pending' }
  | { readonly kind: 'fit' }
  /** Left out, unless somebody included it by hand. */
  | { readonly kind: 'unfit'; readonly why: Unfit; readonly isIncluded: boolean };

type Judged = Pick<TakeSummary, 'id' | 'revision' | 'useUnfit'>;

interface Found {
  readonly why: Unfit | null;
  readonly isMountAssumed: boolean;
}

/**
 * The signal check's result: for every document with the same inputs, by its key, or as the list names its signals; or, where
 * it failed, up to a revision.
 */
type Judgement = Found &
  ({ readonly key: string } | { readonly signals: string } | { readonly upTo: number });

const judgements = new Map<string, Judgement>();
/** Counts up with every judgement. */
const judged = signal(0);

export function standingOf({ id, revision, useUnfit }: Judged): Standing {
  void judged.value;
  const found = judgementOf(id, revision);
  if (found === undefined) return { kind: 'pending' };
  const { why } = found;
  return why === null ? { kind: 'fit' } : { kind: 'unfit', why, isIncluded: useUnfit };
}

/** The reason why a take is left out; null where it counts, or is not judged yet. */
export function whyLeftOut(take: Judged): Unfit | null {
  const standing = standingOf(take);
  return standing.kind === 'unfit' && !standing.isIncluded ? standing.why : null;
}

/** Whether a take only assumes which way the blade points; false as long as it is not judged. */
export function isMountAssumed({ id, revision }: Judged): boolean {
  void judged.value;
  return judgementOf(id, revision)?.isMountAssumed ?? false;
}

/** What was found of a take; undefined where this revision is not judged yet. */
function judgementOf(id: string, revision: number): Found | undefined {
  const judgement = judgements.get(id);
  if (!judgement) return undefined;
  if ('upTo' in judgement) return judgement.upTo >= revision ? judgement : undefined;
  const document = documents.known(id, revision);
  if ('key' in judgement) return document && judgement.key === keyOf(document) ? judgement : undefined;
  const listed = listedTakes.value.get(id);
  if (!listed || listed.revision < revision || listed.content.signals !== judgement.signals) return undefined;
  // From now on it holds for whatever becomes of the document, before the list tells of that.
  if (document?.revision === listed.revision) judgements.set(id, { ...judgement, key: keyOf(document) });
  return judgement;
}

const listedTakes = computed(() => new Map((workspace.value?.takes ?? []).map((take) => [take.id, take])));

const keys = new WeakMap<TakeDocument, string>();

/** All that the check rests on, besides the columns: names and labels make no difference to signals. */
function keyOf(document: TakeDocument): string {
  const { calibration, mapping, report } = document;
  const key = keys.get(document) ?? JSON.stringify([calibration, mapping, report]);
  keys.set(document, key);
  return key;
}

type Checked = Pick<CheckedTake, 'unfit' | 'isMountAssumed'>;

export function noteFitness(document: TakeDocument, checked: Checked): void {
  judgements.set(document.id, { ...foundOf(checked), key: keyOf(document) });
  ++judged.value;
}

function foundOf({ unfit, isMountAssumed }: Checked): Found {
  return { why: unfit, isMountAssumed };
}

/** A take that cannot be checked counts for nothing until it changes. */
export function noteUnchecked({ id, revision }: Pick<TakeSummary, 'id' | 'revision'>, message: string): void {
  judgements.set(id, { upTo: revision, why: { kind: 'unchecked', message }, isMountAssumed: false });
  ++judged.value;
}

/** @param content  of the document; null where somebody looks at all of what is found. */
export function checkRequest(document: TakeDocument, content: TakeContent | null): Request<'check'> {
  return { kind: 'check', ...calibratedOf(document), facts: document.report, content };
}

/** Includes a take in spite of its signals, or leaves it out again: kept in its document. */
export async function includeTake({ id, revision }: TakeSummary, useUnfit: boolean): Promise<void> {
  try {
    const from = Math.max(revision, documents.known(id)?.revision ?? 0);
    documentSaved(await documents.patch(id, from, { useUnfit }));
  } catch (error) {
    notify('error', messageOf(error));
  }
  await refreshWorkspace();
}

interface Asking {
  readonly take: TakeSummary;
  /** Is aborted once the take has changed, or is gone. */
  readonly signal: AbortSignal;
}

/** Takes whose judgement is asked for. */
const asked = new Map<string, { readonly revision: number; readonly stopped: AbortController }>();
/** Its check is for its own view, which asks for it as soon as the take is open. */
const openId = computed(() => {
  const status = takeStatus.value;
  if (status.kind === 'open') return status.take.document.id;
  return status.kind === 'loading' ? status.takeId : null;
});

/** Starts to judge all takes that are not judged yet, those that the view looks at first; what was found before is looked up in one go. */
export function startFitness(): void {
  effect(() => {
    const takes = (workspace.value?.takes ?? []).filter(({ id }) => id !== openId.value);
    void untracked(() => judgeAll(takes));
  });
  effect(() => {
    for (const { id } of workspace.value?.takes ?? []) urgencyOf(id);
    desk.startNext();
  });
}

async function judgeAll(takes: readonly TakeSummary[]): Promise<void> {
  for (const [id, { revision, stopped }] of asked) {
    if (takes.some((take) => take.id === id && take.revision === revision)) continue;
    asked.delete(id);
    stopped.abort();
  }
  const unknown = takes.filter(
    ({ id, revision }) => !asked.has(id) && judgementOf(id, revision) === undefined,
  );
  const asking = unknown.map((take): Asking => {
    const stopped = new AbortController();
    asked.set(take.id, { revision: take.revision, stopped });
    return { take, signal: stopped.signal };
  });
  const known = await found.known<CheckedTake>(unknown.map(({ content }) => namedCheck(content)));
  batch(() => {
    for (const [i, { take, signal }] of asking.entries()) {
      const checked = known[i];
      if (signal.aborted || !checked) continue;
      asked.delete(take.id);
      judgements.set(take.id, { ...foundOf(checked), signals: take.content.signals });
      ++judged.value;
    }
  });
  for (const [i, one] of asking.entries()) if (!known[i] && !one.signal.aborted) void judge(one);
}

async function judge({ take: { id, revision }, signal }: Asking): Promise<void> {
  let document: TakeDocument | null = null;
  const prepare = async (): Promise<Request<'check'> | null> => {
    document = await documents.read(id, revision);
    if (judgementOf(id, revision) !== undefined) return null;
    return checkRequest(document, await contentOf(document));
  };
  try {
    const checked = await desk.askOf('check', id, prepare, {
      urgency: () => untracked(() => urgencyOf(id)),
      signal,
    });
    if (checked) noteFitness(document!, checked);
    else ++judged.value;
  } catch (error) {
    if (!signal.aborted) noteUnchecked({ id, revision }, messageOf(error));
  } finally {
    if (!signal.aborted) asked.delete(id);
  }
}

function urgencyOf(id: string): 'view' | 'background' {
  switch (VIEW_FACTS[sight.view.value].looksAt) {
    case 'workspace':
      return 'view';
    case 'chosenTakes':
      return isInScope(id) ? 'view' : 'background';
    case 'openTake':
      return 'background';
  }
}
