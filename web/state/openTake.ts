import { batch, computed, type ReadonlySignal, signal } from '@preact/signals';
import { deflectionPressesOf, powerPressesOf } from '../../server/engine/base/buttons.ts';
import type { Press } from '../../server/engine/base/log.ts';
import { EMPTY_LABELS, type Labels } from '../../server/engine/labels/labels.ts';
import type { CandidateMotion } from '../../server/engine/motion/motion.ts';
import type { PatchTakeBody, TakeDocument } from '../../server/http/schemas.ts';
import { ApiError } from '../api.ts';
import { desk } from '../takes/desk.ts';
import { documents } from '../takes/documents.ts';
import { lapsing } from '../takes/lapsing.ts';
import { LongMotion } from '../takes/longMotion.ts';
import { calibratedOf, type Opened, type Ready, type Request } from '../takes/requests.ts';
import { messageOf, notify } from './notices.ts';
import { lookFromAfar } from './overview.ts';
import { adoptLabels, savedWork } from './savedWork.ts';
import { candidates, chosenTakeId, dispatch, labelsByTake } from './store.ts';
import { tellConflict } from './tellConflict.ts';
import { refreshWorkspace } from './workspace.ts';

/** A take that is read and computed. */
export interface OpenTake extends Pick<Opened, 'roll' | 'gestures'> {
  readonly document: TakeDocument;
  readonly motion: CandidateMotion;
  /** What came with it for one candidate, for a while: whoever shows it keeps what it needs of that. */
  readonly ready: () => Ready | null;
  readonly durationUs: number;
}

type TakeStatus =
  | { readonly kind: 'none' }
  | { readonly kind: 'loading'; readonly takeId: string }
  | { readonly kind: 'failed'; readonly takeId: string; readonly message: string }
  | { readonly kind: 'open'; readonly take: OpenTake };

export const takeStatus = signal<TakeStatus>({ kind: 'none' });
export const openTake = computed(() => (takeStatus.value.kind === 'open' ? takeStatus.value.take : null));

/** The computed parts of the open take; replaced only when it is read or calibrated anew. */
export const openMotion = computed(() => openTake.value?.motion ?? null);

/** What the open take's twist and dial go by on the prop, and what the prop logged of its decisions; null where it logged none. */
export const openRoll = computed(() => openTake.value?.roll ?? null);
export const openDecisions = whileEqual(() => openTake.value?.document.decisions ?? null);

/** As the program proposes them from its motion, whatever the labels. */
export const proposedGestures = computed(() => openTake.value?.gestures ?? []);

const NO_PRESSES: readonly Press[] = [];

/** Presses of every button, in time order. */
export const allPresses = whileEqual(() => openTake.value?.document.presses ?? NO_PRESSES);

/** Presses of the button that the guard judges, in time order. */
export const powerPresses = whileEqual(() => {
  const document = openTake.value?.document;
  return document ? powerPressesOf(document) : NO_PRESSES;
});

/** Presses of the button that deflections may wait for; null where the log has none. */
export const deflectionPresses = whileEqual(() => {
  const document = openTake.value?.document;
  return document ? deflectionPressesOf(document) : null;
});

/** The contents of a document, the same object while they are the same: each save brings a new document. */
function whileEqual<T>(read: () => T): ReadonlySignal<T> {
  let last: { readonly text: string; readonly contents: T } | null = null;
  return computed(() => {
    const contents = read();
    const text = JSON.stringify(contents);
    if (last?.text !== text) last = { text, contents };
    return last.contents;
  });
}

export const openLabels = computed<Labels>(() => {
  const id = openTake.value?.document.id;
  return (id !== undefined && labelsByTake.value[id]) || EMPTY_LABELS;
});

// Whatever else is asked about a long take, its columns need not be sent for again.
desk.columnsOf = (takeId) => {
  const take = openTake.peek();
  if (take?.document.id !== takeId || !(take.motion instanceof LongMotion)) return null;
  // Another tab may have it read in another way.
  const newest = documents.known(takeId);
  if (newest && JSON.stringify(newest.mapping) !== JSON.stringify(take.document.mapping)) return null;
  const { bytes } = take.motion;
  return bytes instanceof ArrayBuffer ? null : bytes;
};

let opening = new AbortController();

/** Reads a take and computes its motion. A later call overtakes an earlier one. */
export async function loadTake(takeId: string): Promise<void> {
  takeStatus.value = { kind: 'loading', takeId };
  opening.abort();
  opening = new AbortController();
  const { signal } = opening;
  const isWanted = () => !signal.aborted && chosenTakeId.peek() === takeId;
  try {
    let document!: TakeDocument;
    const prepare = async (): Promise<Request<'open'>> => {
      document = await documents.readNow(takeId);
      // What is stored of a long take is small, and painted before its columns take the way that it comes by.
      if (isWanted()) await lookFromAfar(document);
      return openingOf(document);
    };
    const opened = await desk.askOf('open', takeId, prepare, { urgency: 'open', signal });
    if (!opened || !isWanted()) return;
    // Together: labels of a take that is not open yet would begin a sweep over it anew.
    batch(() => {
      if (!savedWork.labels.has(takeId)) adoptLabels(document);
      takeStatus.value = { kind: 'open', take: describe(document, opened) };
    });
  } catch (error) {
    if (isWanted()) takeStatus.value = { kind: 'failed', takeId, message: messageOf(error) };
  }
}

/** Lets go of a take that is no longer in the workspace: nothing of it is shown or saved any more. */
export function forgetTake(takeId: string): void {
  savedWork.labels.delete(takeId);
  documents.forget(takeId);
  dispatch({ type: 'takeForgotten', takeId });
  if (openTake.peek()?.document.id === takeId) takeStatus.value = { kind: 'none' };
}

type Change = Omit<PatchTakeBody, 'revision' | 'labels'>;

/** The change under way: the next one goes on from what it leaves. */
let changing: Promise<void> = Promise.resolve();
/** The calibration that the last of the changes under way asks for; null where none does. */
let askedFor: { readonly id: string; readonly calibration: Change['calibration'] } | null = null;

/** Changes what is said of the open take, on the server first; a new calibration computes the motion again. */
export function changeDocument(change: Change): Promise<void> {
  const seen = openTake.peek()?.document;
  if (!seen) return Promise.resolve();
  const { id } = seen;
  // As it is shown still: whoever asks for just that takes back what is under way.
  const isBack = toldBy(change.calibration) === toldBy(seen.calibration);
  const from = (isBack && askedFor?.id === id && askedFor.calibration) || seen.calibration;
  const asked = { id, calibration: change.calibration };
  if (change.calibration) askedFor = asked;
  changing = changing.then(async () => {
    await changeNow(seen, change, from);
    if (askedFor === asked) askedFor = null;
  });
  return changing;
}

/** @param seen  the document as whoever made the change saw it. @param from  the calibration that was changed. */
async function changeNow(
  seen: TakeDocument,
  made: Change,
  from: NonNullable<Change['calibration']>,
): Promise<void> {
  const { id, title } = seen;
  const open = openTake.peek();
  const take = open?.document.id === id ? open : null;
  const before = take?.document ?? documents.known(id) ?? seen;
  const calibration = made.calibration && rebased(from, made.calibration, before.calibration);
  const change = calibration ? { ...made, calibration } : made;
  try {
    const document = await documents.patch(id, before.revision, change);
    const opened =
      take && change.calibration ? await desk.ask(openingOf(document), { urgency: 'open' }) : null;
    // Labels may have been saved meanwhile.
    const newest = documents.known(id) ?? document;
    if (take && openTake.peek()?.document.id === id && motionKey(newest) === motionKey(document))
      takeStatus.value = {
        kind: 'open',
        take: opened ? describe(newest, opened) : { ...take, document: newest },
      };
    await refreshWorkspace();
  } catch (error) {
    const again = { label: 'Load it again', run: () => void loadTake(id) };
    const isConflict = error instanceof ApiError && error.status === 409;
    if (!isConflict || chosenTakeId.peek() !== id) return void notify('error', messageOf(error), again);
    await loadTake(id);
    const theirs = openTake.peek()?.document;
    if (theirs?.id === id) tellConflict(`“${title}”`, theirs, change, () => void changeDocument(change));
    else notify('error', messageOf(error), again);
  }
}

/** The same for calibrations that say the same: one that does not say whether its mount is stated says that it is not. */
function toldBy(calibration: Change['calibration']): string {
  return JSON.stringify({ ...calibration, isMountStated: calibration?.isMountStated ?? false });
}

/** What a change made of the fields that it was about, the others as they are by now. */
export function rebased<Fields extends object>(before: Fields, after: Fields, now: Fields): Fields {
  const fields = { ...now } as Record<string, unknown>;
  const [from, to] = [before, after] as unknown as Readonly<Record<string, unknown>>[];
  for (const name of new Set([...Object.keys(from!), ...Object.keys(to!)])) {
    if (JSON.stringify(from![name]) === JSON.stringify(to![name])) continue;
    if (name in to!) fields[name] = to![name];
    else delete fields[name];
  }
  return fields as Fields;
}

/** The open take's document after a save; it is opened anew if the motion is no longer the document's. */
export function documentSaved(document: TakeDocument): void {
  const take = openTake.peek();
  if (take?.document.id !== document.id) return;
  if (motionKey(take.document) === motionKey(document)) {
    takeStatus.value = { kind: 'open', take: { ...take, document } };
  } else void loadTake(document.id);
}

/** The inputs of a take's motion besides its file. */
function motionKey({ calibration, mapping }: TakeDocument): string {
  return JSON.stringify([calibration, mapping]);
}

function openingOf(document: TakeDocument): Request<'open'> {
  const { id, decisions, presses } = document;
  const { spans, swings, gestures = [] } = labelsByTake.peek()[id] ?? document.labels;
  return {
    kind: 'open',
    ...calibratedOf(document),
    tellsDecisions: decisions !== undefined,
    candidate: candidates.a.peek(),
    presses,
    labels: { spans, swings, gestures },
  };
}

function describe(document: TakeDocument, opened: Opened): OpenTake {
  const { ready, roll, gestures } = opened;
  return {
    document,
    motion: opened.thin
      ? new LongMotion(opened.motion, opened.thin, document.calibration, lapsing)
      : opened.motion,
    ready: lapsing<Ready | null>(() => null, ready),
    roll,
    gestures,
    durationUs: opened.motion.timeUs.at(-1) ?? 0,
  };
}
