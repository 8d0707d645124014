import { useEffect, useState } from 'preact/hooks';
import { unfitText } from '../../../server/engine/words/choose/unfit.ts';
import type { ComparedTake } from '../../compare/comparison.ts';
import { comparedTakes, followComparison } from '../../state/comparing.ts';
import { standingOf, whyLeftOut } from '../../state/fitness.ts';
import { bothCandidates } from '../../state/store.ts';
import { workspace } from '../../state/workspace.ts';
import { FitnessLine } from '../FitnessLine.tsx';
import { Fold } from '../Fold.tsx';
import { listed } from '../listed.ts';
import { MountLine } from '../MountLine.tsx';
import { CandidateLines } from './CandidateLines.tsx';
import { CompareProgress } from './CompareProgress.tsx';
import { DistributionCard } from './DistributionCard.tsx';
import { PairedCard } from './PairedCard.tsx';
import { PerformersCard } from './PerformersCard.tsx';
import { ScoreTable } from './ScoreTable.tsx';
import { SettingsCard } from './SettingsCard.tsx';
import { SharingCard } from './SharingCard.tsx';
import { TwoStaves } from './TwoStaves.tsx';

/** Does a setting hold for everyone? A row a performer; on asking every score, A against B, the price of sharing, speeds, and two takes side by side. */
export function CompareView() {
  useEffect(() => followComparison('scores'), []);
  const [slot, setSlot] = useState<'a' | 'b'>('a');
  const all = workspace.value?.takes;
  if (!all) return <p class="empty">Reading the workspace…</p>;
  const out = new Set(all.filter((take) => whyLeftOut(take) !== null).map(({ id }) => id));
  const takes = comparedTakes.value.filter(({ id }) => !out.has(id));
  const areJudged = all.every((take) => standingOf(take).kind !== 'pending');
  if (all.length === 0) {
    return (
      <div class="empty">
        <p>
          <b>Nothing to compare yet.</b>
        </p>
        <p>Add recordings: two takes or more, of one performer or of several.</p>
      </div>
    );
  }
  const { a, b } = bothCandidates.value;
  return (
    <div class="compare">
      <header class="compare-head">
        <CandidateLines a={a} b={b} />
        <CompareProgress what="compared" />
      </header>
      <FitnessLine takes={all} />
      <MountLine takes={all} />
      <Cautions takes={takes} isAlone={all.length === 1} />
      {takes.length > 0 && (
        <>
          <PerformersCard takes={takes} slot={slot} onSlot={setSlot} />
          <Fold name="Every score" holds="of every take">
            <ScoreTable takes={takes} slot={slot} onSlot={setSlot} />
          </Fold>
          <Fold name="A against B" holds="press by press">
            <PairedCard takes={takes} />
          </Fold>
          <Fold name="One guard for all, or one each" holds="and what sharing costs whom">
            <SharingCard takes={takes} areJudged={areJudged} />
          </Fold>
          <Fold name="Kept settings" holds="each on everybody">
            <SettingsCard takes={takes} />
          </Fold>
          <Fold name="Swing speeds" holds="of each performer">
            <DistributionCard takes={takes} />
          </Fold>
          <Fold name="Two takes" holds="side by side">
            <TwoStaves />
          </Fold>
        </>
      )}
      {takes.length === 0 && <p class="empty">No take is left to compare.</p>}
    </div>
  );
}

/** Reasons why these scores may not mean what they seem to. */
function Cautions({
  takes,
  isAlone,
}: {
  readonly takes: readonly ComparedTake[];
  readonly isAlone: boolean;
}) {
  const known = takes.filter((take) => take.facts !== null);
  if (known.length === 0) return null;
  const strays = known.reduce(
    (sum, { facts }) => sum + facts!.presses.straysInSpin + facts!.presses.straysElsewhere,
    0,
  );
  const wanted = known.reduce(
    (sum, { facts }) => sum + facts!.presses.wantedAfterStop + facts!.presses.wantedAtRest,
    0,
  );
  const proposed = known.reduce((sum, { facts }) => sum + facts!.proposedSwings, 0);
  const spins = known.filter(({ facts }) => facts!.proposedSpins > 0);
  const sentences = [
    ...(isAlone
      ? ['This is the only take: there is nothing to compare it with but the other candidate.']
      : []),
    ...known.flatMap(({ title, facts }) =>
      facts!.swingless ? [`${title}: ${unfitText(facts!.swingless)}.`] : [],
    ),
    ...(known.length === takes.length ? lackOfLabels(strays, wanted) : []),
    ...known.flatMap(({ title, facts }) => facts!.doubts.map((text) => `${title}: ${text}.`)),
    ...(proposed > 0 ? [`${proposed} swings are proposed by the program, confirmed by nobody.`] : []),
    ...(spins.length > 0
      ? [
          takes.length === 1
            ? 'Its spins are proposed, not labelled.'
            : `Spins are proposed, not labelled, in ${listed(spins.map(({ title }) => title))}.`,
        ]
      : []),
  ];
  if (sentences.length === 0) return null;
  return <p class="caution-line">{sentences.join(' ')}</p>;
}

/** What press labels cannot show where one kind or both are missing. */
function lackOfLabels(strays: number, wanted: number): string[] {
  if (strays + wanted === 0)
    return [
      'No press is labelled: the guard has no scores of presses. Open a take in Tune, walk with N, label with W and S.',
    ];
  if (wanted === 0)
    return [
      'Every labelled press is stray: nothing tells which wanted presses a guard would refuse, and one that never opens looks best. Label wanted presses too.',
    ];
  if (strays === 0)
    return [
      'Every labelled press is wanted: nothing tells which stray presses a guard would let through, and none at all looks best. Label stray presses too.',
    ];
  return [];
}
