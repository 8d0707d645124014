import type { MotionScore, UnitCount } from '../../server/engine/choose/motion/motionScore.ts';
import { percent, percentRange } from '../../server/engine/words/count.ts';
import { formatClock } from '../charts/stave.ts';
import { motionScores } from '../state/motionScores.ts';
import { sight } from '../state/store.ts';
import { type MotionUnit, showNextWrong } from '../state/wrongUnits.ts';
import { ScoreRow } from './ScoreRow.tsx';

/** Where no press is labelled stray: in how many spins one might be let through. */
export function SpinsRow({ showB }: { readonly showB: boolean }) {
  const [a, b] = both(showB);
  if (a === null) return null;
  const lead = 'no stray press labelled';
  if (a.spinsOpen.n === 0 || a.openShare === null || a.worst === null)
    return <ScoreRow name="Spins open" id="spins" a="–" b={b && '–'} note={`${lead}, and no spin`} />;
  const shares = `median ${percent(a.openShare.median, 1)}, worst ${percent(a.worst.openShare, 1)} at ${formatClock(a.worst.startUs / 1e6, 0)}`;
  return (
    <Counts
      name="Spins open"
      id="spins"
      a={a.spinsOpen}
      b={b?.spinsOpen ?? null}
      note={`${lead}; open for over 1 in 20 of a spin: ${shares}${proposedText(a)}`}
    />
  );
}

/** Where no press is labelled wanted: after how many stops one would be refused. */
export function StopsRow({ showB }: { readonly showB: boolean }) {
  const [a, b] = both(showB);
  if (a === null) return null;
  const lead = 'no wanted press labelled';
  if (a.stopsLate.n === 0)
    return <ScoreRow name="Stops late" id="stops" a="–" b={b && '–'} note={`${lead}, and no stop`} />;
  const wait = a.waitMs ? `; opens after ${a.waitMs.median.toFixed(0)} ms (median)` : '';
  return (
    <Counts
      name="Stops late"
      id="stops"
      a={a.stopsLate}
      b={b?.stopsLate ?? null}
      note={`${lead}; closed ${a.patienceMs} ms after a stop${wait}${proposedText(a)}`}
    />
  );
}

function both(showB: boolean): readonly [MotionScore | null, MotionScore | null] {
  return [motionScores.a.value, showB ? motionScores.b.value : null];
}

function Counts(props: { name: string; id: MotionUnit; a: UnitCount; b: UnitCount | null; note: string }) {
  const { name, id, a, b, note } = props;
  // Exact intervals, which hold in at least 95 of 100.
  const sure = [a, b].flatMap((one) => (one?.interval ? [percentRange(one.interval)] : [])).join(' → ');
  const edited = sight.slot.value === 'b' ? b : a;
  const tone = ({ k }: UnitCount) => (k > 0 ? 'bad' : 'good');
  return (
    <ScoreRow
      name={name}
      id={id}
      a={`${a.k} / ${a.n}`}
      b={b && `${b.k} / ${b.n}`}
      toneA={tone(a)}
      toneB={b ? tone(b) : undefined}
      next={edited?.k ? { name: NEXT[id], show: () => showNextWrong(id) } : undefined}
      note={sure === '' ? note : `at least 95 %: ${sure}; ${note}`}
    />
  );
}

const NEXT: Readonly<Record<MotionUnit, string>> = {
  spins: 'Show the next open spin',
  stops: 'Show the next late stop',
};

function proposedText({ isConfirmed }: MotionScore): string {
  return isConfirmed ? '' : '; all proposed';
}
