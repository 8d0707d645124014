import type { Decline as DeclineFact } from '../../../server/engine/choose/decline.ts';
import type { Fix } from '../../../server/engine/explain/fixes.ts';
import { withField } from '../../../server/engine/settings/candidateRules.ts';
import { counted } from '../../../server/engine/words/count.ts';
import { fixText, settingText, slipText } from '../../../server/engine/words/slips.ts';
import { notifyUndoable } from '../../state/history.ts';
import { powerPresses } from '../../state/openTake.ts';
import { dispatch, editedCandidate, sight } from '../../state/store.ts';
import { wrongPresses } from '../../state/wrongPresses.ts';
import type { Slip } from '../../sweep/jobs.ts';
import { Decline } from '../sweep/Decline.tsx';
import { NextStep } from '../tune/NextStep.tsx';
import { DipSketch } from './DipSketch.tsx';
import { showOnStaves } from './showOnStaves.ts';

/** Every stray press that was let through: a picture of its dip, what would have refused it and, on asking, why. */
export function SlipsCard(props: {
  readonly slips: readonly Slip[];
  readonly strays: number;
  readonly showsTitles: boolean;
  /** Why no change of a setting can be told from these presses; null where one can. */
  readonly decline: DeclineFact | null;
}) {
  const { slips, strays, decline } = props;
  const letter = sight.slot.value.toUpperCase();
  const { guard } = editedCandidate.value;
  const hasHold = guard.holdMs > 0;
  return (
    <section class="card slips">
      <header>
        <h2>
          {strays === 0
            ? 'No press is labelled stray'
            : `Candidate ${letter} lets ${slips.length} of ${counted(strays, 'stray press', 'stray presses')} through`}
        </h2>
        {decline === null && <HoldForAll slips={slips} />}
        {strays > 0 && decline === null && (
          <NextStep isAllRight={slips.length === 0 && wrongPresses.value.length === 0} />
        )}
      </header>
      {strays === 0 && (
        <p class="quiet">
          {!props.showsTitles && powerPresses.value.length === 0
            ? 'This take holds no presses of the power button. The reversals below show what one would meet.'
            : 'Label presses in Tune: N and P walk through them, S says stray.'}
        </p>
      )}
      {slips.length > 0 && (
        <p class="quiet">
          Shaded: the blade is slower than the guard’s speed.
          {decline === null && ' Hollow bar: the hold that would have kept it closed.'}
          {hasHold && ' Full bar: the hold as it is.'}
        </p>
      )}
      {strays > 0 && slips.length === 0 && <p class="good">None is let through.</p>}
      {slips.length > 0 && (
        <ul>
          {slips.map((slip) => (
            <li key={`${slip.takeId} ${slip.downUs}`}>
              <SlipRow slip={slip} showsTitle={props.showsTitles} showsFixes={decline === null} />
            </li>
          ))}
        </ul>
      )}
      {slips.length > 0 && decline && <Decline decline={decline} />}
    </section>
  );
}

function SlipRow(props: { readonly slip: Slip; readonly showsTitle: boolean; readonly showsFixes: boolean }) {
  const { takeId, title, downUs, explanation, picture } = props.slip;
  const fixes = props.showsFixes ? explanation.fixes : [];
  const [first] = fixes;
  const hold = fixes.find(({ path }) => path === 'guard.holdMs');
  const why = `${capital(slipText(explanation.reason))}.`;
  const { guard } = editedCandidate.value;
  return (
    <>
      <button
        type="button"
        class="link"
        title={`${title}: show it on the staves`}
        onClick={() => showOnStaves(takeId, downUs)}
      >
        {props.showsTitle ? `${title}, ` : ''}
        {(downUs / 1e6).toFixed(2)} s
      </button>
      {picture && (
        <DipSketch
          picture={picture}
          guardDps={guard.speedDps}
          holdMs={guard.holdMs}
          neededMs={hold ? Number(hold.value) : null}
          says={why}
        />
      )}
      {first ? <FixButton fix={first} /> : <span />}
      <details>
        <summary>Why</summary>
        <p>{why}</p>
        {fixes.length > 1 && (
          <p>
            <span class="quiet">{sight.slot.value === 'b' ? 'Or set' : 'Or try in B'}</span>{' '}
            {fixes.slice(1).map((fix) => (
              <FixButton key={fix.path} fix={fix} />
            ))}
          </p>
        )}
      </details>
    </>
  );
}

function FixButton({ fix }: { readonly fix: Fix }) {
  return (
    <button
      type="button"
      class="small"
      title={`Candidate B becomes a copy of ${sight.slot.value.toUpperCase()} with ${fixText(fix, editedCandidate.value.guard)}: it would have refused this press`}
      onClick={() => applyToB(fix)}
    >
      {settingText(fix)}
    </button>
  );
}

/** One hold that would have refused all of them that a hold can. */
function HoldForAll({ slips }: { readonly slips: readonly Slip[] }) {
  const holds = slips.flatMap(({ explanation }) => {
    const fix = explanation.fixes.find((one) => one.path === 'guard.holdMs');
    return fix ? [Number(fix.value)] : [];
  });
  if (holds.length < 2) return null;
  const holdMs = Math.max(...holds);
  const part = holds.length === slips.length ? `all ${slips.length}` : `${holds.length} of ${slips.length}`;
  return (
    <button
      type="button"
      class="small"
      title="With no room to spare: the longest of the holds below"
      onClick={() => applyToB({ path: 'guard.holdMs', value: holdMs })}
    >
      {sight.slot.value === 'b' ? 'Set' : 'Try in B:'} hold {holdMs} ms, refuses {part}
    </button>
  );
}

/** Candidate B becomes the one under edit with one setting changed. */
function applyToB(fix: Fix): void {
  dispatch({
    type: 'candidateReplaced',
    slot: 'b',
    candidate: withField(editedCandidate.peek(), fix.path, fix.value),
  });
  // What it comes to is what is looked at next.
  dispatch({ type: 'slotChosen', slot: 'b' });
  notifyUndoable(`Candidate B now has ${settingText(fix)}.`);
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
