import { useEffect, useState } from 'preact/hooks';
import { counted } from '../../../server/engine/words/count.ts';
import type { RecordingBody } from '../../../server/http/schemas.ts';
import { CLOSED_A, CLOSED_B, type LiveTrack } from '../../live/liveTrack.ts';
import { stopAndKeep } from '../../state/recordings.ts';
import { LiveBlade } from './LiveBlade.tsx';
import { LiveStaves } from './LiveStaves.tsx';
import { NextDrill } from './NextDrill.tsx';
import { useLiveTrack } from './useLiveTrack.ts';

/** Words follow the rows this often; the staves follow every row. */
const WORDS_MS = 250;

/** A recording that goes on: what comes, what guard and deflection make of it, and what to do next. */
export function LiveRecording({ recording }: { readonly recording: RecordingBody }) {
  const { id, title, performer, source, isAway, timesAway } = recording;
  const sight = useLiveTrack(id);
  useTick(WORDS_MS);
  const { track } = sight;
  const problems = sight.problems.value;
  return (
    <>
      <header class="live-head">
        <div>
          <h2>{title}</h2>
          <p class="quiet">
            from {source}
            {performer !== '' && `, ${performer}`}
          </p>
        </div>
        <span class="spacer" />
        <button type="button" class="main" onClick={() => void stopAndKeep(id)}>
          Stop and keep
        </button>
      </header>
      {isAway && (
        <p class="caution-line" role="alert">
          The source is away: check the cable. When it comes back, the recording goes on behind a gap.
        </p>
      )}
      {problems.length > 0 && (
        <p class="caution-line">{problems.join(' ')} The rows are kept all the same.</p>
      )}
      <NextDrill performer={performer} track={track} />
      {track && <Facts track={track} timesAway={timesAway} />}
      <div class="live-sight">
        <LiveStaves sight={sight} />
        <LiveBlade sight={sight} />
      </div>
      <p class="quiet">
        Decided row by row, with the gyro’s bias as a prop finds it at each rest: near a threshold the take
        may differ by a sample. Squares are presses, filled where one gets through, outlined where it is
        refused; a line is one that is not decided. The blade begins lit, and each press that gets through
        turns its light over.
      </p>
    </>
  );
}

function Facts({ track, timesAway }: { readonly track: LiveTrack; readonly timesAway: number }) {
  const { lastMarks, rateHz, rows, lostRows, gaps, leftOut, fires } = track;
  const guard = (bit: number) => ((lastMarks & bit) === 0 ? 'open' : 'closed');
  return (
    <dl class="live-facts">
      <Fact name="Guard A" value={guard(CLOSED_A)} />
      <Fact name="Guard B" value={guard(CLOSED_B)} />
      <Fact name="Deflections A, B" value={`${fires.a ?? 'not known'}, ${fires.b ?? 'not known'}`} />
      <Fact name="Rate" value={`${rateHz < 100 ? rateHz.toFixed(1) : Math.round(rateHz)} Hz`} />
      <Fact name="Rows" value={String(rows)} />
      <Fact name="Lost rows" value={`${lostRows}${gaps > 0 ? `, ${counted(gaps, 'gap')}` : ''}`} />
      {leftOut > 0 && <Fact name="Lines left out" value={String(leftOut)} />}
      {timesAway > 0 && <Fact name="Cable" value={`away ${counted(timesAway, 'time')}`} />}
    </dl>
  );
}

function Fact({ name, value }: { readonly name: string; readonly value: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd data-fact={name}>{value}</dd>
    </div>
  );
}

/** Renders again and again. */
function useTick(everyMs: number): void {
  const [, tick] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => tick((count) => count + 1), everyMs);
    return () => clearInterval(timer);
  }, [everyMs]);
}
