import type { ComponentChildren } from 'preact';
import type { DeflectionPart, DeflectionSetting } from '../../../server/engine/choose/deflectionHeldOut.ts';
import type { GuardPart, GuardSetting } from '../../../server/engine/choose/heldOut.ts';
import type { HeldOut } from '../../../server/engine/choose/leaveOut.ts';
import { STRESS_WORDS } from '../../../server/engine/choose/stressRates.ts';
import type { DeflectionVerdict, GuardVerdict } from '../../sweep/jobs.ts';
import { OpenReversalsHead, WrongDeflectionHeads, WrongPressHeads } from '../outcomeHeads.tsx';
import { HeldOutTable } from './HeldOutTable.tsx';
import type { HeldColumn } from './heldWords.ts';
import { StressTable } from './StressTable.tsx';

const LONE_TAKE = 'There is but one take: look at more, and each is left out in turn.';
const LONE_PERFORMER = 'All takes are of one performer: nothing tells whether the setting holds for another.';

/** What is judged, and the heads of the two columns that count what comes out wrong. */
interface Judged {
  readonly judged: string;
  /** In the singular. */
  readonly unit: string;
  readonly wrongHeads: ComponentChildren;
}

const PRESSES: Judged = { judged: 'presses', unit: 'press', wrongHeads: <WrongPressHeads /> };

/** The guard's choice tried on what it was not made from, and under what may differ on another day. */
export function ChecksCard({
  verdict,
  units: { judged, unit, wrongHeads } = PRESSES,
}: {
  readonly verdict: GuardVerdict | null;
  readonly units?: Judged;
}) {
  if (verdict?.choice.kind !== 'suggestion') return <ChecksFrame>{null}</ChecksFrame>;
  const table = {
    columns: GUARD_COLUMNS,
    unit,
    settingText: ({ speedDps, holdMs }: GuardSetting) => `${speedDps} °/s · ${holdMs} ms`,
    heads: (
      <>
        {wrongHeads}
        <OpenReversalsHead />
      </>
    ),
  };
  const lines = verdict.stress.map(({ name, strayLetThrough, wantedRefused, flips }) => {
    return { words: STRESS_WORDS[name], wrong: [strayLetThrough, wantedRefused], flips: flips.length };
  });
  return (
    <CheckTables verdict={verdict} table={table}>
      <StressTable judged={judged} lines={lines} stressed={verdict.stressed} heads={wrongHeads} />
    </CheckTables>
  );
}

/** The same for the deflection. */
export function DeflectionChecksCard({ verdict }: { readonly verdict: DeflectionVerdict | null }) {
  if (verdict?.choice.kind !== 'suggestion') return <ChecksFrame>{null}</ChecksFrame>;
  const table = {
    columns: DEFLECTION_COLUMNS,
    settingText: ({ speedDps, rearmRatio }: DeflectionSetting) => `${speedDps} °/s · ${rearmRatio}`,
    heads: <WrongDeflectionHeads />,
  };
  const lines = verdict.stress.map(({ name, missed, twice, outside, flips }) => {
    return { words: STRESS_WORDS[name], wrong: [missed, twice, outside], flips: flips.length };
  });
  const more = verdict.stress.reduce((sum, { moreOutside }) => sum + moreOutside, 0);
  return (
    <CheckTables verdict={verdict} table={table}>
      <StressTable
        judged="swings"
        lines={lines}
        stressed={verdict.stressed}
        heads={<WrongDeflectionHeads />}
        also={
          more === 0 ? null : `${more} more ${more === 1 ? 'fire comes' : 'fires come'} outside any swing`
        }
      />
    </CheckTables>
  );
}

const GUARD_COLUMNS: readonly HeldColumn<GuardPart>[] = [
  { name: 'strays', isBad: true },
  { name: 'wanted', isBad: true },
  { name: 'reversals' },
];

const DEFLECTION_COLUMNS: readonly HeldColumn<DeflectionPart>[] = [
  { name: 'missed', isBad: true },
  { name: 'twice', isBad: true },
  { name: 'outside', isBad: true, isPlainCount: true },
];

/** What was left out in turn, and the table of stress (as children) beside the performers'. */
export function CheckTables<Setting, Name extends string>(props: {
  readonly verdict: {
    readonly byTake: HeldOut<Setting, Name> | null;
    readonly byPerformer: HeldOut<Setting, Name> | null;
  };
  readonly table: Omit<Parameters<typeof HeldOutTable<Setting, Name>>[0], 'title' | 'held' | 'lone'>;
  readonly children: ComponentChildren;
}) {
  const { verdict, table, children } = props;
  return (
    <ChecksFrame>
      <HeldOutTable title="Each take left out" held={verdict.byTake} lone={LONE_TAKE} {...table} />
      <div class="checks-pair">
        <HeldOutTable
          title="Each performer left out"
          held={verdict.byPerformer}
          lone={LONE_PERFORMER}
          {...table}
        />
        {children}
      </div>
    </ChecksFrame>
  );
}

export function ChecksFrame({ children }: { readonly children: ComponentChildren }) {
  return (
    <section class="card checks" aria-label="Checks">
      {children ?? (
        <div>
          <header>
            <h2>Checks</h2>
          </header>
          <p class="quiet">A suggestion is checked on takes and performers left out, and under stress.</p>
        </div>
      )}
    </section>
  );
}
