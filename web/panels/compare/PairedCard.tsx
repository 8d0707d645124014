import {
  LEAST_DIFFERING,
  type Pairing,
  pairOutcomes,
  SIGNIFICANCE,
} from '../../../server/engine/compare/paired.ts';
import { counted } from '../../../server/engine/words/count.ts';
import type { ComparedTake } from '../../compare/comparison.ts';

/** A and B on the same presses: does one do better than chance would make it look? */
export function PairedCard({ takes }: { readonly takes: readonly ComparedTake[] }) {
  const both = takes.flatMap(({ a, b }) => (a && b ? [{ a: a.presses, b: b.presses }] : []));
  const pairing = pairOutcomes(both);
  const presses = pairing.bothRight + pairing.onlyA + pairing.onlyB + pairing.bothWrong;
  return (
    <section class="card compare-card" aria-label="A against B on the same presses">
      <header>
        <h2>A against B, press by press</h2>
        <span class="unit">a press is right when a stray one is refused or a wanted one accepted</span>
      </header>
      {presses === 0 ? (
        <p class="card-text">
          No press is labelled wanted or stray: there is nothing to pair. Label presses in Tune: N, then W or
          S.
        </p>
      ) : (
        <>
          <table class="fourfold">
            <thead>
              <tr>
                <td />
                <th scope="col">B right</th>
                <th scope="col">B wrong</th>
              </tr>
            </thead>
            <tbody>
              <tr>
                <th scope="row">A right</th>
                <td>{pairing.bothRight}</td>
                <td class="differs">{pairing.onlyA}</td>
              </tr>
              <tr>
                <th scope="row">A wrong</th>
                <td class="differs">{pairing.onlyB}</td>
                <td>{pairing.bothWrong}</td>
              </tr>
            </tbody>
          </table>
          <p class="card-text" data-pairing>
            {verdictOf(pairing)}
          </p>
          <p class="card-text quiet">{basisOf(presses, pairing.unpaired)}</p>
        </>
      )}
    </section>
  );
}

function verdictOf(pairing: Pairing): string {
  const { onlyA, onlyB, p, missing, neededAtThisSplit } = pairing;
  if (p === null)
    return `A and B decide every press alike. It takes ${LEAST_DIFFERING} presses on which they differ to tell them apart.`;
  const better = onlyB > onlyA ? 'B' : 'A';
  const split = `Of ${counted(onlyA + onlyB, 'press', 'presses')} on which they differ, A has ${onlyA} right, B ${onlyB}`;
  const shown = p < 0.0001 ? 'p below 0.0001' : `p = ${Number(p.toPrecision(2))}`;
  if (p < SIGNIFICANCE)
    return `${split}: ${better} does better, and chance alone would hardly make it look so (${shown}).`;
  if (missing > 0)
    return `${split}: too few to tell them apart (${shown}). It takes ${missing} more at least: fewer than ${LEAST_DIFFERING} cannot, whichever way they fall.`;
  const more =
    neededAtThisSplit === null
      ? ''
      : ` If the split stays, about ${neededAtThisSplit - onlyA - onlyB} more would tell.`;
  return `${split}: that may well be chance (${shown}).${more}`;
}

function basisOf(presses: number, unpaired: number): string {
  const others = unpaired > 0 ? `, ${unpaired} more that only one of the two could judge` : '';
  return `${counted(presses, 'labelled press', 'labelled presses')}${others}. Exact McNemar test, two-sided; only presses on which the two differ count.`;
}
