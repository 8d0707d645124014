import { useMemo, useState } from 'preact/hooks';
import type { DeflectionSettings } from '../../server/engine/detect/deflection.ts';
import { missReasons } from '../../server/engine/explain/missedSwings.ts';
import type { DeflectionScore } from '../../server/engine/score/deflectionScore.ts';
import type { Proportion } from '../../server/engine/score/proportion.ts';
import { percent, percentRange } from '../../server/engine/words/count.ts';
import { SAY_DEFLECTION_BUTTON } from '../../server/engine/words/deflectionButton.ts';
import { missCountsText } from '../../server/engine/words/misses.ts';
import { whyLeftOut } from '../state/fitness.ts';
import { openTake } from '../state/openTake.ts';
import { bothCandidates, sight } from '../state/store.ts';
import { takesInScope } from '../state/takeInputs.ts';
import { spinning, type Verdicts, verdicts } from '../state/verdicts.ts';
import { VIEW_FACTS } from '../state/views.ts';
import { clippedSwings } from './ClippedPeaks.tsx';
import { Basis } from './labels/Basis.tsx';
import { GestureScores } from './labels/GestureScores.tsx';
import { SpinsRow, StopsRow } from './MotionScores.tsx';
import { ScoreRow, type Tone } from './ScoreRow.tsx';
import { TwoSettings } from './TwoSettings.tsx';
import { useRested } from './useRested.ts';
import { type Notes, waitNote, waitText } from './waitWords.ts';

/** The scores of candidate A against B, each proportion with its Wilson interval. */
export function ScorePanel() {
  const a = verdicts.a.value;
  const b = sight.showB.value ? verdicts.b.value : null;
  if (!a) return null;
  return (
    <section class="card scores">
      <header>
        <h2>What would happen</h2>
        {!b && <span class="unit">candidate A</span>}
      </header>
      <OpenTakeAlone />
      {b && <TwoSettings />}
      <dl>
        {a.guardScore.falseAccepts.n === 0 ? (
          <SpinsRow showB={b !== null} />
        ) : (
          <CountRow
            name="Strays let through"
            of={(v) => v.guardScore.falseAccepts}
            a={a}
            b={b}
            none="no stray presses labelled"
            id="stray"
            isBad
          />
        )}
        {a.guardScore.falseRejects.n === 0 ? (
          <StopsRow showB={b !== null} />
        ) : (
          <CountRow
            name="Wanted refused"
            of={(v) => v.guardScore.falseRejects}
            a={a}
            b={b}
            none="no wanted presses labelled"
            id="wanted"
            isBad
          />
        )}
        <ScoreRow
          name="Open while spinning"
          id="open"
          a={shareText(a.guardScore.openShare)}
          b={b && shareText(b.guardScore.openShare)}
          {...openNote(a)}
        />
        <ScoreRow
          name="Wait after a stop"
          id="wait"
          a={waitText(a)}
          b={b && waitText(b)}
          {...waitNote(a, b)}
        />
      </dl>
      {!VIEW_FACTS[sight.view.value].isOfGuard && (
        <>
          <DeflectionScores a={a} b={b} />
          <GestureScores a={a} b={b} />
        </>
      )}
      <Resting verdict={a} />
    </section>
  );
}

/** How the deflection did on the take's swings. */
function DeflectionScores({ a, b }: { readonly a: Verdicts; readonly b: Verdicts | null }) {
  const score = a.deflectionScore;
  const other = b?.deflectionScore;
  const unknown = score === null ? 'A' : b && other === null ? 'B' : null;
  const [isOpen, setOpen] = useState(false);
  return (
    <details class="score-fold deflection-scores" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        Deflection <span class="unit">{score ? deflectionBrief(score) : 'not known'}</span>
      </summary>
      {unknown && (
        <p class="caution-line" data-deflection-unknown>
          {b && `${unknown}: `}
          {SAY_DEFLECTION_BUTTON}
        </p>
      )}
      {score && (
        <dl>
          <CountRow
            name="Fires once a swing"
            of={(v) => v.deflectionScore?.once ?? null}
            a={a}
            b={b}
            none={noSwings(score)}
            id="once"
          />
          <MissedRow a={a} b={b} isShown={isOpen} />
          <ScoreRow
            name="Fires twice or more"
            id="twice"
            a={`${score.twice.k}`}
            b={b && numberOr(other?.twice.k)}
          />
          <ScoreRow
            name="Fires outside a swing"
            id="outside"
            a={`${score.outside}`}
            b={b && numberOr(other?.outside)}
          />
        </dl>
      )}
    </details>
  );
}

function deflectionBrief(score: DeflectionScore): string {
  const { once, missed, twice, outside } = score;
  if (once.n === 0) return noSwings(score);
  const isClean = missed.k + twice.k + outside === 0;
  return `${once.k} / ${once.n} swings${isClean ? ', once each' : ' fire once'}`;
}

function noSwings({ unwanted }: DeflectionScore): string {
  return unwanted === 0 ? 'no swings found' : 'no swing with the button held';
}

const numberOr = (count: number | undefined): string => (count === undefined ? '–' : `${count}`);

/** Whose labels all this rests on; a word of it in sight where a proposal counts. */
function Resting({ verdict }: { readonly verdict: Verdicts }) {
  const { areProposed, spans } = spinning.value;
  return (
    <details class="score-fold resting">
      <summary>
        What this rests on {areProposed && spans.length > 0 && <span class="unit">spins as proposed</span>}
      </summary>
      <Basis verdict={verdict} />
    </details>
  );
}

/** Beside a view of many takes the scores could be taken for those of all. */
function OpenTakeAlone() {
  const view = VIEW_FACTS[sight.view.value];
  const open = openTake.value?.document;
  const inScope = takesInScope.value;
  const isSame = inScope.length === 1 && inScope[0]!.id === open?.id;
  const takes = inScope.filter((take) => whyLeftOut(take) === null);
  const isAmong = takes.some(({ id }) => id === open?.id);
  if (view.looksAt !== 'chosenTakes' || isSame || open === undefined) return null;
  const { title } = open;
  return (
    <p class="caution-line scores-scope">
      <b>In “{title}” alone.</b> {view.name} looks at{' '}
      {takes.length === 1 ? 'another take' : `${takes.length} takes`}
      {isAmong || takes.length === 1 ? '' : ', and this is none of them'}: figures and labels below are of “
      {title}”.
    </p>
  );
}

function CountRow(props: {
  name: string;
  id: string;
  of(verdict: Verdicts): Proportion | null;
  a: Verdicts;
  b: Verdicts | null;
  none: string;
  isBad?: boolean;
}) {
  const a = props.of(props.a);
  const b = props.b && props.of(props.b);
  if (a === null || a.n === 0)
    return (
      <ScoreRow name={props.name} id={props.id} a="–" b={props.b && fractionText(b)} note={props.none} />
    );
  const note = `about 95 %: ${intervalText(a)}${b ? ` → ${intervalText(b)}` : ''}`;
  return (
    <ScoreRow
      name={props.name}
      id={props.id}
      a={`${a.k} / ${a.n}`}
      b={props.b && fractionText(b)}
      note={note}
      toneA={toneOf(a, props.isBad)}
      toneB={b ? toneOf(b, props.isBad) : undefined}
    />
  );
}

function fractionText(of: Proportion | null): string {
  return of === null || of.n === 0 ? '–' : `${of.k} / ${of.n}`;
}

function toneOf({ k }: Proportion, isBad = false): Tone {
  if (!isBad) return undefined;
  return k > 0 ? 'bad' : 'good';
}

function intervalText({ interval }: Proportion): string {
  return interval ? percentRange(interval) : '–';
}

function shareText(share: number | null): string {
  return share === null ? '–' : percent(share, 1);
}

function openNote({ guardScore }: Verdicts): Notes {
  if (guardScore.openShare === null) return { note: 'no spinning span' };
  const title = `Of ${guardScore.spinningS.toFixed(1)} s of spin`;
  return spinning.value.areProposed ? { title, note: 'in spins as proposed' } : { title };
}

/** Why they are missed is found once a drag rests, and somebody looks: it takes the detector over the take. */
function MissedRow({
  a,
  b,
  isShown,
}: {
  readonly a: Verdicts;
  readonly b: Verdicts | null;
  readonly isShown: boolean;
}) {
  const candidates = bothCandidates.value;
  const settings = { a: candidates.a.deflection, b: candidates.b.deflection };
  // A guard that moves changes none of this.
  const now = useMemo(
    () => (isShown ? { a, b, settings } : null),
    [isShown, a.signals, a.deflectionScore, b?.signals, b?.deflectionScore, settings.a, settings.b],
  );
  const rested = useRested(now, 120, null);
  const why = useMemo(() => {
    if (!rested) return '';
    const { settings } = rested;
    const texts = [missText(rested.a, settings.a), rested.b ? missText(rested.b, settings.b) : ''];
    if (!rested.b || texts[0] === texts[1]) return texts[0]!;
    return texts.flatMap((text, i) => (text === '' ? [] : [`${'AB'[i]}: ${text}`])).join('; ');
  }, [rested]);
  return (
    <ScoreRow
      name="Swings missed"
      id="missed"
      a={numberOr(a.deflectionScore?.missed.k)}
      b={b && numberOr(b.deflectionScore?.missed.k)}
      note={[rested === now ? why : 'causes follow once the line rests', unwantedNote(a, b), delayNote(a)]
        .filter(Boolean)
        .join('; ')}
    />
  );
}

function missText({ signals, deflectionScore }: Verdicts, settings: DeflectionSettings): string {
  return missCountsText(missReasons(signals, deflectionScore?.missedSwings ?? [], settings));
}

/** What is not counted as missed, because nobody asked for it. */
function unwantedNote(a: Verdicts, b: Verdicts | null): string {
  const counts = [a, ...(b ? [b] : [])].map(({ deflectionScore }) => deflectionScore?.unwanted ?? 0);
  if (counts.every((count) => count === 0)) return '';
  return `${counts.join(' → ')} more with the button up, not counted`;
}

function delayNote({ deflectionScore: s }: Verdicts): string {
  if (!s?.delayMs) return 'no swing that deflects';
  const lead = s.leadMs ? `, ${s.leadMs.median.toFixed(0)} ms before its peak` : '';
  const clipped = clippedSwings.value.length;
  const caution = clipped > 0 ? `; ${clipped} of the peaks are clipped, onset and peak less sure there` : '';
  return `fires ${s.delayMs.median.toFixed(0)} ms after a swing’s onset${lead} (medians)${caution}`;
}
