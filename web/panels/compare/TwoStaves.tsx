import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { TakeSummary } from '../../../server/http/schemas.ts';
import { highest } from '../../charts/extremes.ts';
import { yOf } from '../../charts/geometry.ts';
import { palette } from '../../charts/palette.ts';
import { wholeTake } from '../../charts/view.ts';
import type { TimeWindow } from '../../state/model.ts';
import { messageOf } from '../../state/notices.ts';
import { bothCandidates, candidates } from '../../state/store.ts';
import { workspace } from '../../state/workspace.ts';
import { desk } from '../../takes/desk.ts';
import { documents } from '../../takes/documents.ts';
import { calibratedOf, type SpeedTrace, type Request as TakeRequest } from '../../takes/requests.ts';
import { StaveCard } from '../StaveCard.tsx';
import { useNavigation } from '../useNavigation.tsx';
import { isOfB, lineName, speedLines } from './speedLines.ts';

type Loaded = { readonly trace: SpeedTrace } | { readonly problem: string } | null;

/** Two takes, one under the other: read only once they come into sight, for they are not what the view opens with. */
export function TwoStaves() {
  const place = useRef<HTMLElement>(null);
  const [isSeen, setIsSeen] = useState(false);
  useEffect(() => {
    if (!place.current || isSeen) return;
    const observer = new IntersectionObserver((entries) => {
      if (entries.some((entry) => entry.isIntersecting)) setIsSeen(true);
    });
    observer.observe(place.current);
    return () => observer.disconnect();
  }, [isSeen]);
  return (
    <section class="card compare-card two-staves" aria-label="Two takes, one under the other" ref={place}>
      <header>
        <h2>Two takes, one under the other</h2>
        <span class="unit">swing speed in °/s as A smooths it; wheel zooms both, double-click shows all</span>
      </header>
      {isSeen && <StavePair />}
    </section>
  );
}

/** Their swing speeds, over the same time and the same range. */
function StavePair() {
  const takes = workspace.value?.takes ?? [];
  const [ids, setIds] = useState<readonly [string, string]>(() => twoOf(takes));
  const [window, setWindow] = useState<TimeWindow | null>(null);
  const traces = [useTrace(ids[0], takes), useTrace(ids[1], takes)] as const;
  const read = traces.flatMap((one) => (one && 'trace' in one ? [one.trace] : []));
  const durationUs = Math.max(0, ...read.map(({ timeUs }) => timeUs.at(-1) ?? 0));
  const { a, b } = bothCandidates.value;
  const lines = [a.guard.speedDps, b.guard.speedDps, a.deflection.speedDps, b.deflection.speedDps];
  const top = 1.06 * Math.max(...lines, ...read.map(({ swingSpeedDps }) => highest(swingSpeedDps)));
  const whole = useMemo(() => wholeTake(durationUs), [durationUs]);
  const shown = window ?? whole;
  const column = useRef<HTMLDivElement>(null);
  const view = useRef({ shown, durationUs });
  view.current = { shown, durationUs };
  const band = useNavigation(column, {
    window: () => view.current.shown,
    durationUs: () => view.current.durationUs,
    moveTo: setWindow,
  });

  return (
    <div class="stave-pair" ref={column}>
      {([0, 1] as const).map((place) => (
        <TraceStave
          key={place}
          name={place === 0 ? 'upper' : 'lower'}
          choice={
            <TakeChoice
              name={place === 0 ? 'Upper take' : 'Lower take'}
              takes={takes}
              id={ids[place]}
              onChange={(id) => {
                setWindow(null);
                setIds(place === 0 ? [id, ids[1]] : [ids[0], id]);
              }}
            />
          }
          loaded={traces[place]}
          window={shown}
          top={top}
        />
      ))}
      {band}
    </div>
  );
}

function TraceStave(props: {
  name: string;
  choice: preact.ComponentChildren;
  loaded: Loaded;
  window: TimeWindow;
  top: number;
}) {
  const { loaded, top } = props;
  return (
    <div class="stave-slot">
      {props.choice}
      {loaded === null ? (
        <p class="card-text quiet">Reading the take…</p>
      ) : 'problem' in loaded ? (
        <p class="card-text">{loaded.problem}</p>
      ) : (
        <StaveCard
          name={props.name}
          title=""
          says={`Swing speed, ${props.name} take`}
          unit=""
          timeline={loaded.trace}
          channels={[loaded.trace.swingSpeedDps]}
          traces={[{ colour: palette.value.ink, fill: palette.value.fill }]}
          window={props.window}
          range={[0, top]}
          hasTimeAxis
          format={(value) => String(Math.round(value))}
          readOut={(value) => `${value.toFixed(0)} °/s`}
          over={(height) => <Lines top={top} height={height} />}
        />
      )}
    </div>
  );
}

/** Both candidates' thresholds, to look at: Tune is where they are moved. Equal ones lie side by side. */
function Lines({ top, height }: { readonly top: number; readonly height: number }) {
  return (
    <>
      {speedLines().map((line, i) => (
        <div
          key={lineName(line)}
          class={`fixed-line across-${line.kind} ${isOfB(line) ? 'is-b' : ''}`}
          style={{ top: `${yOf(line.speedDps, [0, top], height) + (line.kind === 'guard' ? -1.5 : 0)}px` }}
        >
          <span style={{ right: `${4 + 132 * i}px` }}>
            {lineName(line)} {line.speedDps}
          </span>
        </div>
      ))}
    </>
  );
}

function TakeChoice(props: {
  name: string;
  takes: readonly TakeSummary[];
  id: string;
  onChange(id: string): void;
}) {
  return (
    <select
      aria-label={props.name}
      value={props.id}
      onChange={(event) => props.onChange(event.currentTarget.value)}
    >
      {props.takes.map((take) => (
        <option key={take.id} value={take.id}>
          {take.title}
          {take.performer === '' ? '' : `, ${take.performer}`}
        </option>
      ))}
    </select>
  );
}

/** A take's swing speed, read anew when the take or the smoothing changes; a later choice overtakes an earlier one. */
function useTrace(id: string, takes: readonly TakeSummary[]): Loaded {
  const [loaded, setLoaded] = useState<Loaded>(null);
  const { smoothing } = candidates.a.value;
  const revision = takes.find((take) => take.id === id)?.revision ?? 0;
  useEffect(() => {
    const stopped = new AbortController();
    const { signal } = stopped;
    setLoaded(null);
    const prepare = async (): Promise<TakeRequest<'speed'>> => {
      return { kind: 'speed', ...calibratedOf(await documents.read(id, revision)), smoothing };
    };
    desk
      .askOf('speed', id, prepare, { urgency: 'view', signal })
      .then((trace): Loaded => trace && { trace })
      .catch((error: unknown): Loaded => ({ problem: `This take cannot be shown: ${messageOf(error)}` }))
      .then((result) => {
        if (!signal.aborted) setLoaded(result);
      });
    return () => stopped.abort();
  }, [id, revision, JSON.stringify(smoothing)]);
  return loaded;
}

/** Takes of two performers where there are two, else the first two. */
function twoOf(takes: readonly TakeSummary[]): readonly [string, string] {
  const first = takes[0];
  const other = takes.find((take) => take.performer !== first?.performer) ?? takes[1] ?? first;
  return [first?.id ?? '', other?.id ?? ''];
}
