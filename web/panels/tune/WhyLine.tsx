import { useMemo } from 'preact/hooks';
import { declineOn } from '../../../server/engine/choose/decline.ts';
import { evidenceOf } from '../../../server/engine/choose/evidence.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import type { PressVerdict } from '../../../server/engine/detect/presses.ts';
import { explainSlip, type SlipExplanation } from '../../../server/engine/explain/causes.ts';
import type { Fix } from '../../../server/engine/explain/fixes.ts';
import { counted } from '../../../server/engine/words/count.ts';
import { pressReason } from '../../../server/engine/words/presses.ts';
import { settingText, slipText } from '../../../server/engine/words/slips.ts';
import { whyLeftOut } from '../../state/fitness.ts';
import { notifyUndoable } from '../../state/history.ts';
import { zoomToPress } from '../../state/labelling.ts';
import type { TimeWindow } from '../../state/model.ts';
import { openLabels, openTake, powerPresses } from '../../state/openTake.ts';
import { dispatch, sight } from '../../state/store.ts';
import { truth, type Verdicts } from '../../state/verdicts.ts';
import { KeyMark } from '../KeyMark.tsx';
import { PressMark } from '../PressMark.tsx';
import { useRested } from '../useRested.ts';
import { type JudgedMark, pressesInSight, worstOf } from './worst.ts';

const WHOLE = { startUs: Number.NEGATIVE_INFINITY, endUs: Number.POSITIVE_INFINITY };

/** One sentence above the speed: why the worst press in sight went wrong, and the smallest change that sets it right. */
export function WhyLine({ verdict, window }: { readonly verdict: Verdicts; readonly window: TimeWindow }) {
  const labels = openLabels.value;
  const inTake = pressesInSight(verdict.presses, labels, WHOLE);
  const worst = worstOf(pressesInSight(verdict.presses, labels, window));
  const explained = useExplained(verdict, worst);
  const isJudged = inTake.some(({ fate }) => /^(stray|wanted)/.test(fate));
  if (!isJudged) return null;
  return (
    <p class="why-line" data-worst={worst?.verdict.pressIndex ?? 'none'}>
      {worst ? <Sentence worst={worst} explained={explained} /> : <AllRight inTake={inTake} />}
    </p>
  );
}

function Sentence({ worst, explained }: { worst: JudgedMark; explained: Explained | null }) {
  const { verdict, fate } = worst;
  const { downUs } = verdict.press;
  const found = explained?.of === verdict ? explained : null;
  const fix = found?.isAdvised ? found.explanation?.fixes[0] : undefined;
  return (
    <>
      <KeyMark width={16} height={16}>
        <PressMark fate={fate} />
      </KeyMark>
      <span>
        <b>
          {fate === 'strayLetThrough' ? 'Stray press' : 'Wanted press'} at {(downUs / 1e6).toFixed(2)} s
          {fate === 'strayLetThrough' ? ' let through: ' : ' '}
        </b>
        {found?.explanation ? slipText(found.explanation.reason) : ownReason(verdict)}.
      </span>
      {fix && <FixButton fix={fix} />}
    </>
  );
}

/** What holds at this very moment of a drag: the cause and what helps are looked for once it rests. */
function ownReason(verdict: PressVerdict): string {
  return pressReason(verdict).replace(/^let through: /, '');
}

function FixButton({ fix }: { readonly fix: Fix }) {
  const slot = sight.slot.value;
  const text = settingText(fix);
  return (
    <button
      type="button"
      class="small"
      data-fix={fix.path}
      title={`The smallest change of candidate ${slot.toUpperCase()} that refuses this press`}
      onClick={() => {
        dispatch({ type: 'settingChanged', slot, path: fix.path, value: fix.value, gesture: null });
        notifyUndoable(`Candidate ${slot.toUpperCase()} now has ${text}.`);
      }}
    >
      Set {text}
    </button>
  );
}

/** What sets single presses right may stand on the edge, and do nothing for other takes: Sweep looks at all, with room. */
function FindOne() {
  return (
    <button
      type="button"
      class="small"
      title="Sweep tries every speed and hold, and suggests one with room, for this take or all"
      onClick={() => dispatch({ type: 'viewChosen', view: 'sweep' })}
    >
      Find one that has room
    </button>
  );
}

/** Where all in sight went right, what is wrong elsewhere is one press away. */
function AllRight({ inTake }: { readonly inTake: readonly JudgedMark[] }) {
  const through = inTake.filter(({ fate }) => fate === 'strayLetThrough');
  const refused = inTake.filter(({ fate }) => fate === 'wantedRefused');
  const [first] = [...through, ...refused];
  if (!first)
    return (
      <>
        <span class="good">In this take every stray press is refused and every wanted one accepted.</span>
        <FindOne />
      </>
    );
  const name =
    through.length > 0
      ? `${counted(through.length, 'stray press', 'stray presses')} let through`
      : `${counted(refused.length, 'wanted press', 'wanted presses')} refused`;
  return (
    <>
      <span class="quiet">Nothing wrong in sight.</span>
      <button type="button" class="small" onClick={() => zoomToPress(first.verdict.pressIndex)}>
        Elsewhere: {name}
      </button>
    </>
  );
}

interface Explained {
  readonly of: PressVerdict;
  readonly explanation: SlipExplanation | null;
  /** Whether there are presses enough to name a change at all. */
  readonly isAdvised: boolean;
}

/** Runs the detector over and over, so it waits until a drag rests. */
function useExplained(verdict: Verdicts, worst: JudgedMark | null): Explained | null {
  const isThrough = worst?.fate === 'strayLetThrough';
  const now = useMemo(
    () => (worst && isThrough ? { verdict, press: worst.verdict } : null),
    [verdict, worst?.verdict, isThrough],
  );
  const rested = useRested(now, 120, null);
  return useMemo(() => {
    const known = truth.peek();
    if (!rested || !known) return null;
    const { signals, closed } = rested.verdict;
    const { settings } = rested.press;
    const explanation = explainSlip({ signals, closed, verdict: rested.press, settings, truth: known });
    return { of: rested.press, explanation, isAdvised: isAdvised(rested.verdict, rested.press) };
  }, [rested]);
}

/** The rule that holds wherever a change of the guard is named. */
function isAdvised({ signals }: Verdicts, { settings }: PressVerdict): boolean {
  const known = truth.peek();
  const take = openTake.peek()?.document;
  if (!known || !take) return false;
  const { id, title, revision, useUnfit = false } = take;
  const unfit = whyLeftOut({ id, revision, useUnfit });
  const presses = powerPresses.peek();
  const named = {
    id,
    title,
    performer: '',
    signals,
    presses,
    labels: openLabels.peek(),
    truth: known,
    unfit,
  };
  return declineOn(GUARD, [evidenceOf(named, settings)]) === null;
}
