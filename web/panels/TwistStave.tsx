import { SWING_LIMIT_DEG } from '../../server/engine/motion/twist.ts';
import { settingAt } from '../../server/engine/settings/candidateRules.ts';
import { fixed } from '../../server/engine/words/count.ts';
import { highest, lowest } from '../charts/extremes.ts';
import { reachFor } from '../charts/headroom.ts';
import { palette } from '../charts/palette.ts';
import { bothCandidates, sight } from '../state/store.ts';
import { linesOn } from './detectorLooks.ts';
import { Explain } from './Explain.tsx';
import { DialTicks, dialWords } from './GestureMarks.tsx';
import { StaveCard } from './StaveCard.tsx';
import type { StaveProps } from './staves.tsx';
import { Thresholds } from './Thresholds.tsx';
import { FoldStave } from './tune/FoldedStaves.tsx';
import { useFrozenRange } from './useFrozenRange.ts';

const TWIST_LINES = linesOn('twist');

export function TwistStave({ window, a, b }: StaveProps) {
  const slot = sight.slot.value;
  const candidates = bothCandidates.value;
  // Both angles of the candidate under edit: it may count from another start.
  const edited = slot === 'b' && b ? b : a;
  const { twistDeg, swingTwistDeg } = edited.signals;
  const angleDeg = Math.max(candidates.a.twist.angleDeg, b ? candidates.b.twist.angleDeg : 0);
  const turnedDeg = Math.max(
    ...[twistDeg, swingTwistDeg].flatMap((angle) => [highest(angle), -lowest(angle)]),
  );
  const reach = reachFor(angleDeg, Math.max(30, 1.15 * turnedDeg));
  const range = useFrozenRange(-reach, reach);
  return (
    <StaveCard
      name="twist"
      fold={<FoldStave name="twist" />}
      title="Twist"
      unit={`° turned about the blade since ${startOf(candidates[slot].twist.startAt)} · dashed: swing–twist`}
      note={
        <>
          <Explain name="why two">
            <TwoAngles />
          </Explain>
          <span class="unit" title="Steps of the dial: the strokes at the foot, up above, down below">
            {dialWords(edited)}
          </span>
        </>
      }
      timeline={edited.signals}
      channels={[twistDeg, swingTwistDeg]}
      traces={[{ colour: palette.value.twist }, { colour: palette.value.quiet, isDashed: true, width: 1 }]}
      window={window}
      range={range}
      format={(value) => fixed(value, 0)}
      readOut={(turnedDeg, twistDeg) =>
        `${fixed(turnedDeg, 1)}° · ${Number.isNaN(twistDeg) ? '–' : `${fixed(twistDeg!, 1)}°`}`
      }
      over={(height, width) => (
        <>
          <DialTicks verdict={edited} window={window} width={width} height={height} />
          <Thresholds lines={TWIST_LINES} range={range} height={height} />
        </>
      )}
    />
  );
}

function startOf(startAt: string): string {
  return settingAt('twist.startAt').choices.find(([value]) => value === startAt)![1];
}

/** Which angle is which, and why they part. */
function TwoAngles() {
  return (
    <>
      <span>
        <b>Turned</b> (solid) adds up the rate about the blade. A prop can do that, so the trigger and the
        dial here go by it.
      </span>
      <span>
        <b>Swing–twist</b> (dashed) looks at where the blade has come to since the start, takes the shortest
        swing back, and reads what is left about the blade. It needs the whole attitude, and is left out
        beyond a swing of {SWING_LIMIT_DEG}°: towards 180° any twist would do. Behind such a stretch it goes
        on with the full turns of the solid line.
      </span>
      <span>
        <b>Roll</b>, the last of three angles yaw, pitch and roll, is a third one again, measured against the
        horizon.
      </span>
      <span>
        All agree while the blade keeps its direction. Where it travels round a loop they part by the angle
        that the loop encloses, though nobody twisted the grip.
      </span>
    </>
  );
}
