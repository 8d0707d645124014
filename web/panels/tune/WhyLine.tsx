import { useMemo } from 'preact/hooks';
import { type Decline, declineOn } from '../../../server/engine/choose/decline.ts';
import { evidenceOf } from '../../../server/engine/choose/evidence.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import type { PressVerdict } from '../../../server/engine/detect/presses.ts';
import { explainSlip, type SlipExplanation } from '../../../server/engine/explain/causes.ts';
import type { Fix } from '../../../server/engine/explain/fixes.ts';
import { declineWords } from '../../../server/engine/words/choose/declines.ts';
import { counted } from '../../../server/engine/words/count.ts';
import { pressReason } from '../../../server/engine/words/presses.ts';
import { settingText, slipText } from '../../../server/engine/words/slips.ts';
import { formatMoment } from '../../charts/stave.ts';
import { whyLeftOut } from '../../state/fitness.ts';
import { notifyUndoable } from '../../state/history.ts';
import { type JudgedMark, judgedMarks, type MarksInSight } from '../../state/judgedMarks.ts';
import type { TimeWindow } from '../../state/model.ts';
import { openLabels, openTake, powerPresses } from '../../state/openTake.ts';
import { dispatch, sight } from '../../state/store.ts';
import { truth, type Verdicts } from '../../state/verdicts.ts';
import { wrongPresses } from '../../state/wrongPresses.ts';
import { KeyMark } from '../KeyMark.tsx';
import { PressMark } from '../PressMark.tsx';
import { useRested } from '../useRested.ts';
import { moreRefusedBy } from './fixCost.ts';
import { NextStep } from './NextStep.tsx';

/**
 * Above the speed: why the chosen press, or else the worst in sight, went wrong, and the smallest change that sets it
 * right; the way to the other wrong ones; and the one step to take next.
 */
export function WhyLine({ verdict, window }: { readonly verdict: Verdicts; readonly window: TimeWindow }) {
  const marks = judgedMarks(verdict.presses, openLabels.value);
  const said = marks.inSight(window).said(sight.pressIndex.value);
  const explained = useExplained(verdict, said);
  if (!isAnyMeant(marks.whole)) return null;
  const isAllRight = wrongPresses.value.length === 0;
  const found = said && explained?.of === said.verdict ? explained : null;
  return (
    <div class="why-line" data-worst={said?.verdict.pressIndex ?? 'none'}>
      {said ? (
        <Sentence said={said} found={found} />
      ) : isAllRight ? (
        <p class="good">In this take every stray press is refused and every wanted one accepted.</p>
      ) : (
        <p class="quiet">No wrong press is in sight; {wrongPresses.value.length} elsewhere in this take.</p>
      )}
      <div class="why-steps">
        {found && <Change found={found} />}
        <NextStep isAllRight={isAllRight} />
      </div>
    </div>
  );
}

/** Whether somebody has said of any of them what it was meant to do. */
function isAnyMeant(marks: MarksInSight): boolean {
  return MEANT.some((fate) => marks.count(fate) > 0);
}

const MEANT = ['strayLetThrough', 'strayRefused', 'wantedAccepted', 'wantedRefused'] as const;

function Sentence({ said, found }: { readonly said: JudgedMark; readonly found: Explained | null }) {
  const { verdict, fate } = said;
  const { downUs } = verdict.press;
  return (
    <>
      <KeyMark width={16} height={16}>
        <PressMark fate={fate} />
      </KeyMark>
      <p>
        <b>
          {fate === 'strayLetThrough' ? 'Stray press' : 'Wanted press'} at {formatMoment(downUs, 2)}
          {fate === 'strayLetThrough' ? ' let through: ' : ' '}
        </b>
        {found?.explanation ? slipText(found.explanation.reason) : ownReason(verdict)}.
        {found?.explanation && <span class="quiet"> {whyNoChange(found)}</span>}
      </p>
    </>
  );
}

/** What holds at this very moment of a drag: the cause and what helps are looked for once it rests. */
function ownReason(verdict: PressVerdict): string {
  return pressReason(verdict).replace(/^accepted: /, '');
}

/** Why no change is named that would refuse the press; empty where one is. */
function whyNoChange({ explanation, decline }: Explained): string {
  if (decline !== null) return declineWords(decline).text;
  return explanation?.fixes.length === 0 ? 'No change of one setting refuses it.' : '';
}

/** The smallest change that refuses the press. */
function Change({ found: { explanation, decline, moreRefused } }: { readonly found: Explained }) {
  const fix = decline === null ? explanation?.fixes[0] : undefined;
  if (!fix) return null;
  return (
    <div class="fix-step">
      {moreRefused > 0 && (
        <span class="bad" data-price={moreRefused}>
          refuses {counted(moreRefused, 'more wanted press', 'more wanted presses')}:
        </span>
      )}
      <FixButton fix={fix} />
    </div>
  );
}

function FixButton({ fix }: { readonly fix: Fix }) {
  const slot = sight.slot.value;
  const text = settingText(fix);
  return (
    <button
      type="button"
      class="small"
      data-fix={fix.path}
      title={`The smallest change of candidate ${slot.toUpperCase()} that refuses this one press, with no room to spare`}
      onClick={() => {
        dispatch({ type: 'settingChanged', slot, path: fix.path, value: fix.value, gesture: null });
        notifyUndoable(`Candidate ${slot.toUpperCase()} now has ${text}.`);
      }}
    >
      Set {text}
    </button>
  );
}

/** Longer than from one notch of a wheel to the next: what takes milliseconds of a long take is not for every notch. */
const REST_MS = 250;

interface Explained {
  readonly of: PressVerdict;
  readonly explanation: SlipExplanation | null;
  /** Why these presses are not enough to name a change; null where they are. */
  readonly decline: Decline | null;
  /** Wanted presses that the change which is named would refuse besides. */
  readonly moreRefused: number;
}

/** Runs the detector over and over, so it waits until a drag rests. */
function useExplained(verdict: Verdicts, said: JudgedMark | null): Explained | null {
  const isThrough = said?.fate === 'strayLetThrough';
  const now = useMemo(
    () => (said && isThrough ? { verdict, press: said.verdict } : null),
    [verdict, said?.verdict, isThrough],
  );
  const rested = useRested(now, REST_MS, null);
  return useMemo(() => {
    const known = truth.peek();
    if (!rested || !known) return null;
    const { signals, closed } = rested.verdict;
    const { settings } = rested.press;
    const explanation = explainSlip({ signals, closed, verdict: rested.press, settings, truth: known });
    const fix = explanation?.fixes[0];
    const moreRefused = fix
      ? moreRefusedBy(fix, settings, rested.verdict, powerPresses.peek(), openLabels.peek())
      : 0;
    const decline = adviceDeclined(rested.verdict, rested.press);
    return { of: rested.press, explanation, decline, moreRefused };
  }, [rested]);
}

/** The rule that holds wherever a change of the guard is named. */
function adviceDeclined({ signals }: Verdicts, { settings }: PressVerdict): Decline | null {
  const known = truth.peek();
  const take = openTake.peek()?.document;
  if (!known || !take) return null;
  const { id, title, revision, useUnfit = false } = take;
  const unfit = whyLeftOut({ id, revision, useUnfit });
  const presses = powerPresses.peek();
  const labels = openLabels.peek();
  const restsOn = [id, signals, settings, presses, labels, known, JSON.stringify(unfit)];
  if (!lastDecline?.restsOn.every((part, k) => part === restsOn[k])) {
    const named = { id, title, performer: '', signals, presses, labels, truth: known, unfit };
    lastDecline = { restsOn, decline: declineOn(GUARD, [evidenceOf(named, settings)]) };
  }
  return lastDecline.decline;
}

/** It rests on all presses of the take, whichever of them is explained: a zoom to another one asks nothing anew. */
let lastDecline: { readonly restsOn: readonly unknown[]; readonly decline: Decline | null } | null = null;
