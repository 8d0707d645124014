import { GESTURE_WORDS } from '../../../server/engine/choose/gestures/gestureNames.ts';
import type { GesturePart, GestureSetting } from '../../../server/engine/choose/gestures/heldOut.ts';
import type { GestureMapKind } from '../../../server/engine/choose/gestures/maps.ts';
import { GESTURE_STRESS_WORDS } from '../../../server/engine/choose/gestures/stressMotions.ts';
import type { GestureVerdict } from '../../sweep/jobs.ts';
import { ChecksFrame, CheckTables } from './ChecksCard.tsx';
import type { HeldColumn } from './heldWords.ts';
import { StressTable } from './StressTable.tsx';

/** A detector's setting tried on what it was not chosen from, and under what may differ on another day. */
export function GestureChecksCard(props: {
  readonly kind: GestureMapKind;
  readonly verdict: GestureVerdict | null;
}) {
  const { kind, verdict } = props;
  if (verdict?.choice.kind !== 'suggestion') return <ChecksFrame>{null}</ChecksFrame>;
  const { one, several, brief } = GESTURE_WORDS[kind];
  const heads = <WrongGestureHeads one={one} several={several} />;
  const columns = [{ ...MISSED, what: several }, ...FIRES];
  const table = { columns, settingText: ({ x, y }: GestureSetting) => brief(x, y), heads };
  const lines = verdict.stress.map(({ name, missed, again, outside, flips }) => {
    return { words: GESTURE_STRESS_WORDS[name], wrong: [missed, again, outside], flips };
  });
  const more = verdict.stress.reduce((sum, { moreFires }) => sum + moreFires, 0);
  return (
    <CheckTables verdict={verdict} table={table}>
      <StressTable
        judged={several}
        lines={lines}
        stressed={verdict.stressed}
        heads={heads}
        also={more === 0 ? null : `${more} more ${more === 1 ? 'fire comes' : 'fires come'} again or outside`}
      />
    </CheckTables>
  );
}

const MISSED: HeldColumn<GesturePart> = { name: 'missed', isBad: true };

const FIRES: readonly HeldColumn<GesturePart>[] = [
  { name: 'again', isBad: true, isPlainCount: true },
  { name: 'outside', isBad: true, isPlainCount: true },
];

function WrongGestureHeads({ one, several }: { readonly one: string; readonly several: string }) {
  return (
    <>
      <th scope="col" title={`Labelled ${several} at which nothing fires`}>
        missed
      </th>
      <th scope="col" title={`Fires beyond the first of a ${one}`}>
        again
      </th>
      <th scope="col" title={`Fires outside any ${one}`}>
        outside
      </th>
    </>
  );
}
