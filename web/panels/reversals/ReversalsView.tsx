import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useMemo, useState } from 'preact/hooks';
import { LEAST_EVENTS } from '../../../server/engine/choose/decline.ts';
import { type HoldCurve, isHeldThrough } from '../../../server/engine/explain/reversalRows.ts';
import { PROBLEM_WORDS } from '../../../server/engine/words/choose/problems.ts';
import { counted } from '../../../server/engine/words/count.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { editedCandidate, sight } from '../../state/store.ts';
import { takesInScope } from '../../state/takeInputs.ts';
import type { TakeReversal } from '../../sweep/jobs.ts';
import { FitnessLine } from '../FitnessLine.tsx';
import { MountLine } from '../MountLine.tsx';
import { JobBar } from '../sweep/JobBar.tsx';
import { TakeScopePicker } from '../sweep/TakeScopePicker.tsx';
import { DipPlot, pointWords } from './DipPlot.tsx';
import { HoldCurvePlot } from './HoldCurvePlot.tsx';
import { ReversalTable } from './ReversalTable.tsx';
import { SlipsCard } from './SlipsCard.tsx';
import { useReversals } from './useReversals.ts';

/** Where a guard is weakest: every place where the blade all but stands still between two swings. */
export function ReversalsView({ take }: { readonly take: OpenTake }) {
  const [pointed, setPointed] = useState<TakeReversal | null>(null);
  const { rows, slips, strays, proposed, curveOf, decline, job } = useReversals(take);
  const { guard } = editedCandidate.value;
  const open = rows.filter((row) => !isHeldThrough(row, guard.holdMs)).length;
  const turnedBack = rows.filter((row) => row.turnDeg >= 90).length;
  const showsTitles = job !== null;
  return (
    <div class="reversals">
      <div class="view-bar">
        <TakeScopePicker />
        {job && <JobBar job={job} />}
        <span
          title={`Where the blade is slowest between two swings of a spin; at ${turnedBack} it turns back, by 90° or more`}
        >
          <b>{rows.length}</b> reversals; candidate {sight.slot.value.toUpperCase()}’s guard opens at{' '}
          <b>{open}</b>
        </span>
        <span class="quiet">
          {sight.slot.value.toUpperCase()}: {PROBLEM_WORDS.guard.setting(guard.speedDps, guard.holdMs)}
        </span>
        {proposed > 0 && (
          <span class="quiet">
            {proposed === rows.length ? 'all' : proposed} in spins that nobody has confirmed
          </span>
        )}
      </div>
      <FitnessLine takes={takesInScope.value} />
      <MountLine takes={takesInScope.value} />
      <SlipsCard slips={slips} strays={strays} showsTitles={showsTitles} decline={decline} />
      {rows.length === 0 ? (
        <p class="card no-rows">
          {job?.status === 'running'
            ? 'Reading the takes…'
            : 'No reversal found: there is no spin of three swings or more here. Record a spin with reversals, or choose other takes.'}
        </p>
      ) : (
        <>
          <Fold name="plots" title="How long a hold must be" isOpen={isUnfolded('plots', slips.length === 0)}>
            <div class="reversal-plots">
              <section class="card">
                <header>
                  <h2>Dip widths</h2>
                  <span class="unit">{pointed ? pointWords(pointed) : '▲ guard opens · □ stays closed'}</span>
                </header>
                <DipPlot
                  rows={rows}
                  holdMs={guard.holdMs}
                  speedDps={guard.speedDps}
                  pointed={pointed}
                  onPoint={setPointed}
                />
              </section>
              <HoldNeeded curveOf={curveOf} holdMs={guard.holdMs} />
            </div>
          </Fold>
          <Fold
            name="table"
            title={`All ${rows.length} reversals, one by one`}
            isOpen={isUnfolded('table', false)}
          >
            <ReversalTable
              rows={rows}
              holdMs={guard.holdMs}
              showsTitles={showsTitles}
              pointed={pointed}
              onPoint={setPointed}
            />
          </Fold>
        </>
      )}
    </div>
  );
}

/** Computed once the plots are in sight, and not before. */
function HoldNeeded({
  curveOf,
  holdMs,
}: {
  readonly curveOf: () => HoldCurve | null;
  readonly holdMs: number;
}) {
  const curve = useMemo(curveOf, [curveOf]);
  if (curve === null) return null;
  return (
    <section class="card">
      <header>
        <h2>Hold needed</h2>
        <span class="unit">to stay closed through so many</span>
      </header>
      {curve.reversals < LEAST_EVENTS ? (
        <p class="quiet">{tooFewText(curve.reversals)}</p>
      ) : (
        <HoldCurvePlot curve={curve} holdTop={holdMs} />
      )}
    </section>
  );
}

/** What somebody has folded or unfolded by hand; the rest stands as the view has it. */
const foldedByHand = signal<Readonly<Record<string, boolean>>>({});

function isUnfolded(name: string, byDefault: boolean): boolean {
  return foldedByHand.value[name] ?? byDefault;
}

/** What is there on asking. Its contents are made only while it is open. */
function Fold(props: {
  readonly name: string;
  readonly title: string;
  readonly isOpen: boolean;
  readonly children: ComponentChildren;
}) {
  const { name, title, isOpen, children } = props;
  return (
    <section class="reversal-fold" data-fold={name}>
      <button
        type="button"
        class={`fold-line ${isOpen ? 'is-unfolded' : ''}`}
        aria-expanded={isOpen}
        onClick={() => (foldedByHand.value = { ...foldedByHand.peek(), [name]: !isOpen })}
      >
        {title}
      </button>
      {isOpen && children}
    </section>
  );
}

/** The rule of evidence, with reversals in the place of presses. */
function tooFewText(reversals: number): string {
  return `${counted(reversals, 'reversal is', 'reversals are')} too few to tell how long a hold must be: it takes ${LEAST_EVENTS}.`;
}
