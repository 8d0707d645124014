import { isClosedAt } from '../../../server/engine/detect/closedRuns.ts';
import { DETECTORS } from '../../../server/engine/detect/detectors.ts';
import { sampleOf } from '../../../server/engine/detect/pressRule.ts';
import type { BladePath } from '../../../server/engine/motion/bladePath.ts';
import { lightAt } from '../../../server/engine/replay/light.ts';
import type { PropEvent } from '../../../server/engine/score/listEvents.ts';
import { fixed, listed, moment } from '../../../server/engine/words/count.ts';
import { eventReason } from '../../../server/engine/words/events.ts';
import { LIGHT_WORDS, wrongWords } from '../../../server/engine/words/story.ts';
import { FATE_WORDS } from '../../state/fate.ts';
import type { Slot } from '../../state/model.ts';
import { openLabels } from '../../state/openTake.ts';
import { playheadUs } from '../../state/playhead.ts';
import { eventsOf, shownSlots, shownWrongs, stories } from '../../state/story.ts';
import { verdicts } from '../../state/verdicts.ts';
import { fateOfEvent, recentEvents } from './scene.ts';

/** A wrong moment is told within so much of it. */
const WRONG_TOLD_US = 60_000;
const TOGETHER_US = 200_000;

/** What the blade is doing now, in one line for each candidate. */
export function NowWords({ path }: { readonly path: BladePath | null }) {
  const at = playheadUs.value ?? 0;
  const isUnsure = path?.unsure.some(({ startUs, endUs }) => startUs <= at && at <= endUs) ?? false;
  return (
    <div class="now-words">
      {shownSlots.value.map((slot) => (
        <p key={slot} data-now={slot}>
          {nowOf(slot, at)}
          <span class="bad">{wrongOf(slot, at)}</span>
        </p>
      ))}
      {isUnsure && <p class="caution">Direction not known: the rates were clipped less than 6 s ago.</p>}
    </div>
  );
}

/** What goes wrong here; it is told a little longer than it lasts, to be read. */
function wrongOf(slot: Slot, at: number): string {
  const here = shownWrongs.value.filter(
    (one) => one.slot === slot && Math.abs(one.timeUs - at) <= WRONG_TOLD_US,
  );
  return here.length === 0 ? '' : ` · ${listed(here.map(wrongWords))}`;
}

function nowOf(slot: Slot, at: number): string {
  const [verdict, story] = [verdicts[slot].value, stories[slot].value];
  if (!verdict || !story) return '';
  const name = shownSlots.value.length > 1 ? `${slot.toUpperCase()} ` : '';
  const index = sampleOf(verdict.signals, at);
  if (index === null) return `${name}a gap: nothing is known here`;
  const { swingSpeedDps, thrustG } = verdict.signals;
  const guard = isClosedAt(verdict.closed, index) ? 'guard closed' : 'guard open';
  return `${name}${LIGHT_WORDS[lightAt(story.light, at)]} · ${guard} · ${fixed(swingSpeedDps[index]!, 0)} °/s · push ${fixed(thrustG[index]!, 1)} g`;
}

/** The last mark on the trail, in words. */
export function EventWords() {
  return (
    <div class="event-words">
      {shownSlots.value.map((slot) => (
        <LastEvents key={slot} slot={slot} />
      ))}
    </div>
  );
}

function LastEvents({ slot }: { readonly slot: Slot }) {
  return (
    <ul data-events={slot}>
      {lastEvents(slot, playheadUs.value ?? 0).map((event) => (
        <li key={`${event.kind} ${event.timeUs}`}>
          <span class="quiet">{moment(event.timeUs)}</span> <b>{titleOf(event)}</b>{' '}
          <span class="quiet" title={eventReason(event)}>
            {eventReason(event)}
          </span>
        </li>
      ))}
    </ul>
  );
}

/** The newest first, with what happened at about the same moment: a stab and its hit. */
function lastEvents(slot: Slot, at: number): readonly PropEvent[] {
  const recent = recentEvents(eventsOf[slot].value ?? [], at).filter(({ kind }) => kind !== 'dial');
  const last = recent.at(-1);
  return last ? recent.filter(({ timeUs }) => last.timeUs - timeUs <= TOGETHER_US).reverse() : [];
}

function titleOf(event: PropEvent): string {
  if (event.kind === 'press') return FATE_WORDS[fateOfEvent(event, openLabels.value)];
  return event.kind === 'dial' ? 'Dial' : DETECTORS[event.kind].name;
}
