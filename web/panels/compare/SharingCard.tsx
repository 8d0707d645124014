import { useEffect, useMemo, useState } from 'preact/hooks';
import type { Decline as DeclineFact } from '../../../server/engine/choose/decline.ts';
import {
  type GuardOutcome,
  type GuardPoint,
  type Price,
  priceOfSharing,
  type SharedRow,
  type Sharing,
  type SharingTake,
} from '../../../server/engine/compare/sharing.ts';
import { ENOUGH_ROOM } from '../../../server/engine/sweep/plateau.ts';
import { declineWords } from '../../../server/engine/words/choose/declines.ts';
import { counted, plural, signed } from '../../../server/engine/words/count.ts';
import type { ComparedTake } from '../../compare/comparison.ts';
import { compareStatus, wantGrids } from '../../state/comparing.ts';
import { notifyUndoable } from '../../state/history.ts';
import { candidates, sight } from '../../state/store.ts';
import { OpenReversalsHead, WrongPressHeads } from '../outcomeHeads.tsx';
import { Decline } from '../sweep/Decline.tsx';
import { PRESS_LACKS } from '../sweep/motion/usePressLack.ts';
import { takeSuggestion } from '../sweep/takeSuggestion.ts';
import { type Grouping, GroupingChoice, groupOf } from './GroupingChoice.tsx';

/** One guard setting for all against one each, and what sharing costs whom. */
export function SharingCard(props: {
  readonly takes: readonly ComparedTake[];
  /** Whether the signals of all of them are checked. */
  readonly areJudged: boolean;
}) {
  const { takes } = props;
  useEffect(() => wantGrids(), []);
  const [grouping, setGrouping] = useState<Grouping>('performer');
  const usable = takes.filter((take) => take.swept?.evidence.unfit === null);
  const isWhole = takes.every((take) => take.swept !== null || take.problem !== null) && props.areJudged;
  // Grids keep their identity while nothing changed: the choice is made again only when one comes or goes.
  const result = useMemo(
    () =>
      isWhole && usable.length > 0 ? priceOfSharing(usable.map((take) => sharingTake(take, grouping))) : null,
    [grouping, isWhole, namesOf(usable), ...fixedLength(usable.map((take) => take.swept))],
  );
  return (
    <section class="card compare-card" aria-label="One setting for all, or one each">
      <header>
        <h2>One guard for all, or one each</h2>
        <span class="unit">
          each chosen as in Sweep: fewest presses wrong, then fewest reversals open, then the shortest hold
          with room
        </span>
        <GroupingChoice
          name="One setting for each"
          takes={takes}
          grouping={grouping}
          onChange={setGrouping}
        />
      </header>
      {result === null ? (
        <p class="card-text">{waitingText(takes, usable.length, isWhole, props.areJudged)}</p>
      ) : result.kind === 'declined' ? (
        <DeclineHere decline={result.decline} />
      ) : (
        <SharingTable sharing={result} />
      )}
    </section>
  );
}

/** Compare rests on presses; where they are too few, there is another way to a setting. */
function DeclineHere({ decline }: { readonly decline: DeclineFact }) {
  return (
    <>
      <Decline decline={decline} />
      {PRESS_LACKS.includes(decline.kind) && (
        <p class="card-text">Sweep can judge a guard by motion alone, from spins and stops.</p>
      )}
    </>
  );
}

function namesOf(takes: readonly ComparedTake[]): string {
  return JSON.stringify(
    takes.map(({ title, performer, prop, session }) => [title, performer, prop, session]),
  );
}

function sharingTake(take: ComparedTake, grouping: Grouping): SharingTake {
  const { id, title, performer, swept } = take;
  const { grid, evidence } = swept!;
  return { group: groupOf(take, grouping), grid, evidence: { ...evidence, id, title, performer } };
}

/** Hooks compare lists place by place: a list that grows has to stand as one value. */
function fixedLength(values: readonly unknown[]): [string] {
  return [values.map(identityOf).join(' ')];
}

const identities = new WeakMap<object, number>();
let lastIdentity = 0;

function identityOf(value: unknown): number {
  if (typeof value !== 'object' || value === null) return 0;
  const known = identities.get(value) ?? ++lastIdentity;
  identities.set(value, known);
  return known;
}

function SharingTable({ sharing }: { readonly sharing: Sharing }) {
  const { setting, decline, rows, wrong } = sharing;
  return (
    <>
      {decline && <DeclineHere decline={decline} />}
      {setting && (
        <p class="card-text" data-sharing>
          <b>
            {setting.speedDps} °/s, hold {setting.holdMs} ms for all
          </b>
          {wrong === 0
            ? ' gets no press wrong that settings of their own would get right.'
            : ` gets ${counted(wrong, 'press', 'presses')} wrong that settings of their own would get right.`}{' '}
          {payersText(rows)}
          <button type="button" class="small" onClick={() => takeInto(setting)}>
            Take it into {sight.slot.value.toUpperCase()}
          </button>
        </p>
      )}
      <div class="table-scroll">
        <table class="sharing">
          <thead>
            <tr>
              <td rowSpan={2} />
              <th scope="colgroup" colSpan={5}>
                a setting of their own
              </th>
              <th scope="colgroup" colSpan={4} class="is-first">
                shared
              </th>
              <th scope="col" rowSpan={2} class="is-first">
                what sharing changes
              </th>
            </tr>
            <tr>
              <th scope="col" class="own-guard">
                guard
              </th>
              <OutcomeHeads />
              <OutcomeHeads isFirst />
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <SharingRow key={row.name} row={row} />
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

function OutcomeHeads({ isFirst = false }: { readonly isFirst?: boolean }) {
  return (
    <>
      <WrongPressHeads isFirst={isFirst} />
      <OpenReversalsHead />
      <th scope="col" title="Wait after a stop: the longest of the takes’ medians">
        wait
      </th>
    </>
  );
}

function SharingRow({ row }: { readonly row: SharedRow }) {
  const { name, own, decline, shared, price } = row;
  return (
    <tr>
      <th scope="row">{name}</th>
      {own === null ? (
        <td class="none" colSpan={5}>
          {decline && declineWords(decline).text}
        </td>
      ) : (
        <>
          <td>
            {own.speedDps} °/s, {own.holdMs} ms
          </td>
          <OutcomeCells outcome={own.outcome} />
        </>
      )}
      {shared === null ? (
        <td class="none is-first" colSpan={4}>
          –
        </td>
      ) : (
        <OutcomeCells outcome={shared} isFirst />
      )}
      <td class="is-first price">{price === null ? '–' : changeText(price)}</td>
    </tr>
  );
}

function OutcomeCells({
  outcome,
  isFirst = false,
}: {
  readonly outcome: GuardOutcome;
  readonly isFirst?: boolean;
}) {
  const { strays, wanted, reversals, waitMs } = outcome;
  return (
    <>
      <td class={`${isFirst ? 'is-first' : ''} ${strays.k > 0 ? 'is-bad' : ''}`}>
        {strays.k}/{strays.n}
      </td>
      <td class={wanted.k > 0 ? 'is-bad' : ''}>
        {wanted.k}/{wanted.n}
      </td>
      <td>
        {reversals.k}/{reversals.n}
      </td>
      <td>{waitMs === null ? '–' : `${waitMs.toFixed(0)} ms`}</td>
    </>
  );
}

function changeText({ wrong, reversals, waitMs, room }: Price): string {
  const parts = [
    ...(wrong > 0 ? [`${counted(wrong, 'more press', 'more presses')} wrong`] : []),
    ...(reversals !== 0
      ? [`${signed(reversals)} ${plural(Math.abs(reversals), 'reversal', 'reversals')} open`]
      : []),
    ...(waitMs !== null && Math.round(waitMs) !== 0 ? [waitChange(Math.round(waitMs))] : []),
    // A shorter wait is no gain where it is bought with room.
    ...(wrong === 0 && percent(room.shared) < percent(room.own)
      ? [`${percent(room.shared)} % of room instead of ${percent(room.own)} %`]
      : []),
  ];
  return parts.length === 0 ? 'nothing' : parts.join(', ');
}

function percent(part: number): number {
  return Math.floor(100 * Math.min(part, ENOUGH_ROOM) + 1e-9);
}

function waitChange(ms: number): string {
  return `${Math.abs(ms)} ms ${ms > 0 ? 'longer' : 'shorter'} wait`;
}

/** Who pays most, in presses or else in waiting. */
function payersText(rows: readonly SharedRow[]): string {
  const paid = rows.filter(({ price }) => price !== null);
  const by = (of: (price: Price) => number) => [...paid].sort((a, b) => of(b.price!) - of(a.price!))[0];
  const presses = by(({ wrong }) => wrong);
  if (presses && presses.price!.wrong > 0) return `Most of it falls on ${presses.name}. `;
  const wait = by(({ waitMs }) => waitMs ?? 0);
  const ms = Math.round(wait?.price?.waitMs ?? 0);
  return wait && ms > 0 ? `${wait.name} waits ${ms} ms longer after a stop. ` : '';
}

/** The settings that the choice rests on are taken too: it was made as candidate A smooths and decides. */
function takeInto({ speedDps, holdMs }: GuardPoint): void {
  const slot = sight.slot.peek();
  const { smoothing, guard } = candidates.a.peek();
  takeSuggestion(slot, { smoothing, guard: { ...guard, speedDps, holdMs } });
  notifyUndoable(
    `Candidate ${slot.toUpperCase()} now guards at ${speedDps} °/s with a hold of ${holdMs} ms.`,
  );
}

function waitingText(
  takes: readonly ComparedTake[],
  usable: number,
  isWhole: boolean,
  areJudged: boolean,
): string {
  if (isWhole && usable === 0) return 'No setting can be chosen on any of the takes.';
  const { status } = compareStatus.value;
  const done = takes.filter((take) => take.swept !== null).length;
  if (!areJudged && done === takes.length) return 'The signals of some takes are still being checked…';
  return status === 'stopped'
    ? 'Stopped before all takes were swept: go on to see this.'
    : `Sweeping settings, ${done} of ${takes.length} takes…`;
}
