import { unfitText } from '../../server/engine/words/choose/unfit.ts';
import { plural } from '../../server/engine/words/count.ts';
import type { TakeSummary } from '../../server/http/schemas.ts';
import { includeTake, type Standing, standingOf } from '../state/fitness.ts';
import { listed } from './listed.ts';

type Standings = readonly { readonly take: TakeSummary; readonly standing: Standing }[];

/** Which of the takes that a view looks at are left out for their signals, which count even so, and which are being checked. */
export function FitnessLine({ takes }: { readonly takes: readonly TakeSummary[] }) {
  const all: Standings = takes.map((take) => ({ take, standing: standingOf(take) }));
  const pending = all.filter(({ standing }) => standing.kind === 'pending');
  const unfit = (isIncluded: boolean) =>
    all.filter(({ standing }) => standing.kind === 'unfit' && standing.isIncluded === isIncluded);
  const [out, included] = [unfit(false), unfit(true)];
  return (
    <>
      {pending.length > 0 && (
        <p class="quiet" role="status" data-fitness="pending">
          Checking the signals of {listed(pending.map(({ take }) => take.title))}: nothing is suggested before
          that.
        </p>
      )}
      {out.length > 0 && (
        <p class="caution-line" data-fitness="out">
          <b>Left out, {plural(out.length, 'its', 'their')} signals are unfit:</b> <Named standings={out} />
        </p>
      )}
      {included.length > 0 && (
        <p class="caution-line" data-fitness="included">
          <b>Included by hand, although unfit:</b> <Named standings={included} />
        </p>
      )}
    </>
  );
}

/** More are marked in the list of takes. */
const MOST_NAMED = 6;

function Named({ standings }: { readonly standings: Standings }) {
  const more = standings.length - MOST_NAMED;
  return (
    <>
      {standings.slice(0, MOST_NAMED).map(({ take, standing }) => (
        <span key={take.id}>
          “{take.title}” ({standing.kind === 'unfit' && unfitText(standing.why)}).{' '}
          <IncludeButton take={take} />{' '}
        </span>
      ))}
      {more > 0 && `And ${more} more, marked in the list.`}
    </>
  );
}

/** The choice to count an unfit take even so, and back; nothing for a take that is fit. */
export function IncludeButton({ take }: { readonly take: TakeSummary }) {
  const standing = standingOf(take);
  if (standing.kind !== 'unfit') return null;
  const { isIncluded } = standing;
  return (
    <button type="button" class="small" onClick={() => void includeTake(take, !isIncluded)}>
      {isIncluded ? 'Leave it out' : 'Include it even so'}
    </button>
  );
}
