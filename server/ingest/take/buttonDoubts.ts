import type { Press } from '../../engine/base/log.ts';
import { buttonWord } from '../roles/buttonWords.ts';
import { isActiveLow, type TimedText, thresholdOf } from '../roles/tracks.ts';
import { isMissing } from '../text/cells.ts';

/** Nobody holds a button down for this part of a take. */
const MOST = 0.5;
const SHOWN = 3;

/**
 * What is odd about a button's column, a sentence each: it may be the wrong column, or up and down the wrong way round.
 * @param presses  read from it
 */
export function buttonDoubts(
  texts: readonly TimedText[],
  presses: readonly Press[],
  name: string,
  unit: string,
  endUs: number,
): string[] {
  const found: string[] = [];
  const isTurned = unit === 'level' && isActiveLow(texts, endUs);
  if (isTurned)
    found.push(
      `${name} rests at its high level: low is taken as pressed; if it was held down instead, say that it is down while high`,
    );
  const advice =
    thresholdOf(unit) === null
      ? ': is it the button, and is it pressed while high or while low?'
      : ': is its threshold right?';
  const first = presses.find(({ downUs }) => downUs === 0);
  const downUs = presses.reduce((sum, press) => sum + (press.upUs ?? endUs) - press.downUs, 0);
  const share = endUs > 0 ? downUs / endUs : 0;
  if (share > MOST) found.push(`${name} is down for ${Math.round(100 * share)} % of the take${advice}`);
  else if (first) found.push(`${name} is down from the first row on${advice}`);
  const states = [...new Set(texts.map(({ text }) => text))].filter((text) => !isMissing(text));
  if (presses.length === 0 && states.length === 1 && !isRestWord(states[0]!))
    found.push(`${name} reads ${states[0]} throughout: no press can be told from it`);
  found.push(...wordDoubts(states, name, unit));
  return found;
}

function isRestWord(text: string): boolean {
  return Number(text) === 0 || buttonWord(text) === 'up';
}

/** The unit by which a column of two levels is read the other way round; null for words, events and voltages. */
export function turnedUnit(texts: readonly TimedText[], unit: string, endUs: number): string | null {
  if (unit === 'activeLow') return 'activeHigh';
  if (unit === 'activeHigh') return 'activeLow';
  const isElectrical = texts.every(({ text }) => /^([01](\.0*)?|true|false|high|low)$/i.test(text));
  if (unit !== 'level' || !isElectrical) return null;
  return isActiveLow(texts, endUs) ? 'activeHigh' : 'activeLow';
}

/** Words that are not known: ignored among known ones, else names of buttons. */
function wordDoubts(states: readonly string[], name: string, unit: string): string[] {
  const unknown = states.filter((text) => Number.isNaN(Number(text)) && buttonWord(text) === null);
  if (unknown.length === 0 || unit === 'edge') return [];
  const listed = unknown
    .slice(0, SHOWN)
    .map((text) => `"${text}"`)
    .join(', ');
  const more = unknown.length > SHOWN ? ` and ${unknown.length - SHOWN} more` : '';
  const isKnownBeside = states.some((text) => /^(down|held)$/.test(buttonWord(text) ?? ''));
  return [
    isKnownBeside
      ? `${name} holds ${listed}${more}, which says neither pressed nor let go: no press was read from it`
      : `${name} holds ${listed}${more}, taken as the name of the button that is held: is that right?`,
  ];
}
