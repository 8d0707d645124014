import type { Fold, HeldOut, Part } from '../../../server/engine/choose/heldOut.ts';
import { STRESS_WORDS, type StressResult } from '../../../server/engine/choose/stress.ts';
import type { GuardVerdict } from '../../sweep/jobs.ts';
import { OpenReversalsHead, WrongPressHeads } from '../outcomeHeads.tsx';

/** The choice tried on what it was not made from, and under what may differ on another day. */
export function ChecksCard({ verdict }: { readonly verdict: GuardVerdict | null }) {
  const isMade = verdict?.choice.kind === 'suggestion';
  return (
    <section class="card checks" aria-label="Checks">
      {!isMade || verdict === null ? (
        <div>
          <header>
            <h2>Checks</h2>
          </header>
          <p class="quiet">A suggestion is checked on takes and performers left out, and under stress.</p>
        </div>
      ) : (
        <>
          <HeldOutTable
            title="Each take left out"
            held={verdict.byTake}
            lone="There is but one take: look at more, and each is left out in turn."
          />
          <div class="checks-pair">
            <HeldOutTable
              title="Each performer left out"
              held={verdict.byPerformer}
              lone="All takes are of one performer: nothing tells whether the setting holds for another."
            />
            <StressTable verdict={verdict} />
          </div>
        </>
      )}
    </section>
  );
}

function HeldOutTable({
  title,
  held,
  lone,
}: {
  readonly title: string;
  readonly held: HeldOut | null;
  readonly lone: string;
}) {
  return (
    <div>
      <header>
        <h2>{title}</h2>
        <span class="unit">chosen on the others, scored on this one</span>
      </header>
      {held === null ? (
        <p class="quiet">{lone}</p>
      ) : (
        <table class="figures-table">
          <thead>
            <tr>
              <th scope="col">left out</th>
              <th scope="col">chosen</th>
              <WrongPressHeads />
              <OpenReversalsHead />
            </tr>
          </thead>
          <tbody>
            {held.folds.map((fold) => (
              <FoldRow key={fold.name} fold={fold} isWorst={isBad(fold) && fold === held.worst} />
            ))}
          </tbody>
          <tfoot>
            <tr>
              <th scope="row" colSpan={2}>
                sum
              </th>
              <PartCell part={held.strays} isPress />
              <PartCell part={held.wanted} isPress />
              <PartCell part={held.reversals} />
            </tr>
          </tfoot>
        </table>
      )}
    </div>
  );
}

function FoldRow({ fold, isWorst }: { readonly fold: Fold; readonly isWorst: boolean }) {
  return (
    <tr class={isWorst ? 'is-worst' : ''}>
      <th scope="row">
        {fold.name}
        {isWorst && <span class="worst"> worst</span>}
      </th>
      {fold.setting === null ? (
        <td colSpan={4} class="quiet">
          {fold.why}
        </td>
      ) : (
        <>
          <td class="setting">
            {fold.setting.speedDps} °/s · {fold.setting.holdMs} ms
          </td>
          <PartCell part={fold.strays} isPress />
          <PartCell part={fold.wanted} isPress />
          <PartCell part={fold.reversals} />
        </>
      )}
    </tr>
  );
}

/** n = 0 is no evidence, and says so. */
function PartCell({ part, isPress = false }: { readonly part: Part; readonly isPress?: boolean }) {
  if (part.n === 0) return <td class="quiet">none</td>;
  return (
    <td class={isPress && part.k > 0 ? 'bad' : ''}>
      {part.k} / {part.n}
    </td>
  );
}

function isBad({ strays, wanted, reversals }: Fold): boolean {
  return strays.k + wanted.k + reversals.k > 0;
}

function StressTable({ verdict }: { readonly verdict: GuardVerdict }) {
  const flips = verdict.stress.reduce((sum, result) => sum + result.flips.length, 0);
  return (
    <div>
      <header>
        <h2>Under stress</h2>
        <span class="unit">the same setting, the presses judged again</span>
      </header>
      {verdict.stressed === 0 ? (
        <p class="quiet">Being tried…</p>
      ) : (
        <>
          <table class="figures-table">
            <thead>
              <tr>
                <th scope="col">if</th>
                <WrongPressHeads />
                <th scope="col" title="Presses whose verdict turns round">
                  flips
                </th>
              </tr>
            </thead>
            <tbody>
              {verdict.stress.map((result) => (
                <StressRow key={result.name} result={result} />
              ))}
            </tbody>
          </table>
          <p class={flips === 0 ? 'good' : 'bad'}>
            {flips === 0
              ? 'No verdict flips: the suggestion stands.'
              : `The suggestion flips: ${flips} ${flips === 1 ? 'verdict turns' : 'verdicts turn'} round. Keep further from the edge, or record more.`}
          </p>
        </>
      )}
    </div>
  );
}

function StressRow({ result }: { readonly result: StressResult }) {
  return (
    <tr class={result.flips.length > 0 ? 'is-worst' : ''}>
      <th scope="row">{STRESS_WORDS[result.name]}</th>
      <td class={result.strayLetThrough > 0 ? 'bad' : ''}>{result.strayLetThrough}</td>
      <td class={result.wantedRefused > 0 ? 'bad' : ''}>{result.wantedRefused}</td>
      <td class={result.flips.length > 0 ? 'bad' : ''}>{result.flips.length}</td>
    </tr>
  );
}
