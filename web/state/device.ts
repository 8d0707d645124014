import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { Agreement } from '../../server/engine/device/agreement.ts';
import type { CauseSearch } from '../../server/engine/device/findCause.ts';
import { heldAgainst } from '../../server/engine/device/heldAgainst.ts';
import { KeptParts } from '../../server/engine/device/keptParts.ts';
import { twistOnProp } from '../../server/engine/device/propTwist.ts';
import type { Signals } from '../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { desk } from '../takes/desk.ts';
import { calibratedOf, type Request, Stopped } from '../takes/requests.ts';
import { keptSettings, refreshSettings } from './keptSettings.ts';
import type { Slot } from './model.ts';
import { messageOf } from './notices.ts';
import {
  allPresses,
  deflectionPresses,
  openDecisions,
  openMotion,
  openRoll,
  openTake,
  powerPresses,
} from './openTake.ts';
import { candidates } from './store.ts';
import { verdicts } from './verdicts.ts';

/** How far the open take's prop decided as a candidate does on the bench; null where its log tells of no decision. */
export const deviceAgreement: Readonly<Record<Slot, ReadonlySignal<Agreement | null>>> = {
  a: agreementOf('a'),
  b: agreementOf('b'),
};

function agreementOf(slot: Slot): ReadonlySignal<Agreement | null> {
  const startAt = computed(() => candidates[slot].value.twist.startAt);
  const twist = computed(() => {
    const [motion, roll] = [openMotion.value, openRoll.value];
    return motion && roll && twistOnProp(motion, roll, startAt.value, allPresses.value);
  });
  const signals = computed(() => verdicts[slot].value?.signals ?? null);
  const onProp = computed(
    (): Signals | null => signals.value && twist.value && { ...signals.value, ...twist.value },
  );
  const parts = new KeptParts();
  return computed(() => {
    const [logged, now] = [openDecisions.value, onProp.value];
    if (!logged || !now) return null;
    return heldAgainst(logged, now, powerPresses.value, candidates[slot].value, parts.of(now));
  });
}

/** What a candidate's differences were asked for, and what came of it. */
interface Asked {
  /** All that it rests on. */
  readonly key: string;
  readonly status: 'running' | 'failed' | 'done';
  /** Share that is done, 0 to 1. */
  readonly part: number;
  readonly search: CauseSearch | null;
  readonly error: string | null;
}

const asked: Readonly<Record<Slot, ReturnType<typeof signal<Asked | null>>>> = {
  a: signal<Asked | null>(null),
  b: signal<Asked | null>(null),
};
const underWay = { a: new AbortController(), b: new AbortController() };

/** The search for a candidate's differences as they are now; null where none was begun. */
export function searchOf(slot: Slot): Asked | null {
  const own = asked[slot].value ?? null;
  const request = requestOf(slot);
  return own && request && own.key === keyOf(request) ? own : null;
}

/** Looks for why the prop does not decide as a candidate, in a thread. */
export async function findTheCause(slot: Slot): Promise<void> {
  stopSearch(slot);
  if (keptSettings.peek() === null) await refreshSettings();
  const request = requestOf(slot);
  if (!request) return;
  const key = keyOf(request);
  underWay[slot] = new AbortController();
  const { signal } = underWay[slot];
  const tell = (news: Partial<Asked>): void => {
    if (signal.aborted) return;
    const now = asked[slot].peek() ?? { key, status: 'running', part: 0, search: null, error: null };
    asked[slot].value = { ...now, ...news };
  };
  tell({});
  try {
    const search = await desk.ask(request, { urgency: 'view', signal, tellPart: (part) => tell({ part }) });
    tell({ status: 'done', search });
  } catch (error) {
    if (!(error instanceof Stopped)) tell({ status: 'failed', error: messageOf(error) });
  }
}

export function stopSearch(slot: Slot): void {
  underWay[slot].abort();
  asked[slot].value = null;
}

function requestOf(slot: Slot): Request<'cause'> | null {
  const take = openTake.value;
  const logged = openDecisions.value;
  if (!take || !logged) return null;
  const other: Slot = slot === 'a' ? 'b' : 'a';
  const others = [
    { name: `candidate ${other.toUpperCase()}`, candidate: candidates[other].value },
    ...(keptSettings.value ?? []).map(({ name, candidate }) => ({
      name: `the kept setting “${name}”`,
      candidate,
    })),
    { name: "the program's default setting", candidate: DEFAULT_CANDIDATE },
  ];
  const candidate = candidates[slot].value;
  return {
    kind: 'cause',
    ...calibratedOf(take.document),
    candidate,
    presses: powerPresses.value,
    allPresses: allPresses.value,
    deflectionPresses: deflectionPresses.value,
    logged,
    others: others.filter((one) => JSON.stringify(one.candidate) !== JSON.stringify(candidate)),
  };
}

function keyOf(request: Request<'cause'>): string {
  return JSON.stringify(request);
}
