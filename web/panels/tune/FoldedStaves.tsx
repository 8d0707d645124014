import { useRef } from 'preact/hooks';
import { figure } from '../../../server/engine/words/count.ts';
import { isDragging } from '../../charts/cursor.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { sight } from '../../state/store.ts';
import type { Verdicts } from '../../state/verdicts.ts';
import { FOLDING_STAVES, type FoldingStave } from '../../takes/quietSignals.ts';
import { ImpactCaution, ThrustCaution } from './cautions.tsx';
import { hasToSay, reachOf, setStave, stavesByHand } from './quiet.ts';

const NAMES: Readonly<Record<FoldingStave, readonly [name: string, unit: string]>> = {
  thrust: ['Thrust', 'g'],
  twist: ['Twist', '°'],
  impact: ['Impact', 'g'],
};

/** Which staves are open: none comes or goes under a line that is being dragged. */
export function useOpenStaves(a: Verdicts, b: Verdicts | null): ReadonlySet<FoldingStave> {
  const kept = useRef<ReadonlySet<FoldingStave>>(new Set());
  const byHand = stavesByHand.value;
  if (isDragging.value) return kept.current;
  const open = FOLDING_STAVES.filter(
    (name) => byHand[name] ?? (hasToSay(name, 'a', a) || (b !== null && hasToSay(name, 'b', b))),
  );
  if (open.length !== kept.current.size || open.some((name) => !kept.current.has(name)))
    kept.current = new Set(open);
  return kept.current;
}

/** The staves with nothing to say, in a line: how far each goes, and what it would have to reach. */
export function FoldedStaves(props: {
  readonly take: OpenTake;
  readonly a: Verdicts;
  readonly b: Verdicts | null;
  readonly open: ReadonlySet<FoldingStave>;
}) {
  const { a, b, open } = props;
  const slot = sight.slot.value;
  const folded = FOLDING_STAVES.filter((name) => !open.has(name));
  if (folded.length === 0) return null;
  return (
    <section class="card folded-staves" aria-label="Staves with nothing to say">
      {folded.map((name) => {
        const [title, unit] = NAMES[name];
        const [most, level] = reachOf(name, slot === 'b' && b ? b : a, slot);
        const space = unit === '°' ? '' : ' ';
        return (
          <span key={name}>
            <button
              type="button"
              class="fold-line"
              aria-expanded="false"
              data-stave={name}
              title={`${title}: nothing labelled, nothing fires. Show the stave`}
              onClick={() => setStave(name, true)}
            >
              {title}{' '}
              <span class="unit">
                up to {figure(most, 2)} of {figure(level)}
                {space}
                {unit}
              </span>
            </button>{' '}
            {name === 'thrust' && <ThrustCaution take={props.take} />}
            {name === 'impact' && <ImpactCaution rateHz={a.signals.rateHz} />}
          </span>
        );
      })}
    </section>
  );
}

/** Folds a stave again. */
export function FoldStave({ name }: { readonly name: FoldingStave }) {
  return (
    <button
      type="button"
      class="fold-line is-open"
      aria-expanded="true"
      aria-label={`Fold ${NAMES[name][0].toLowerCase()}`}
      title="Fold this stave to a line"
      onClick={() => setStave(name, false)}
    />
  );
}
