import type { Press } from '../../engine/base/log.ts';
import type { TextSpan } from '../ground/types.ts';
import { isMissing } from '../text/cells.ts';
import { buttonWord, isQuiet, speaksOfPressing, withoutButtonWords } from './buttonWords.ts';

/** A text that a button's or label's column shows from this moment on. */
export interface TimedText {
  readonly timeUs: number;
  readonly text: string;
}

const BITS: readonly number[] = Array.from({ length: 16 }, (_, i) => 2 ** i);
const EVENT = /\b(down|up|press|release|click|clicked)\b/i;
/** Texts of an electrical level: only these can mean the opposite, where a switch pulls its line down. */
const ELECTRICAL = /^(true|false|high|low)$/i;

/**
 * Presses of the buttons in one column.
 * @param unit  `level`: the column shows the button's state in every row (0/1, true/false, words, or the name of the button
 *   that is held), and what it rests at is up; `activeHigh`, `activeLow`: the same, down at 1 or at 0 in any case;
 *   `above:512`, `below:512`: a voltage on either side of a threshold; `edge`: it shows what just happened (`power down`,
 *   +1/-1) and nothing in between
 */
export function readPresses(texts: readonly TimedText[], name: string, unit: string, endUs: number): Press[] {
  if (unit === 'edge') return readEdges(texts, name);
  const said = leaveOutSilence(texts);
  return areEvents(said)
    ? readEdges(
        said.filter(({ text }) => !isQuiet(text)),
        name,
      )
    : readLevels(said, name, unit, endUs);
}

function readLevels(texts: readonly TimedText[], name: string, unit: string, endUs: number): Press[] {
  if (thresholdOf(unit) === null && isBitMask(texts)) return readBits(texts, name);
  const isIdle = idleTest(texts, unit, endUs);
  const hasPressWord = texts.some(({ text }) => /^(down|held)$/.test(buttonWord(text) ?? ''));
  const presses: { button: string; downUs: number; upUs: number | null }[] = [];
  for (const { timeUs, text } of texts) {
    const open = presses.at(-1)?.upUs === null ? presses.at(-1)! : null;
    const isKnown = isNumeric(text) || buttonWord(text) !== null;
    // Among words that are known, one that is not tells nothing: what was goes on.
    if (hasPressWord && !isKnown && !isMissing(text)) continue;
    const isDown = !isIdle(text);
    const button = isKnown ? numbered(name, thresholdOf(unit) === null ? text : '1') : text;
    if (open && (!isDown || open.button !== button)) open.upUs = timeUs;
    if (isDown && open?.button !== button) presses.push({ button, downUs: timeUs, upUs: null });
  }
  return presses;
}

/** An empty cell is a state only where no other text says that the button is up: rows of another sensor leave it empty. */
function leaveOutSilence(texts: readonly TimedText[]): readonly TimedText[] {
  const isUp = (text: string) => (isNumeric(text) ? Number(text) === 0 : buttonWord(text) === 'up');
  if (!texts.some(({ text }) => !isMissing(text) && isUp(text))) return texts;
  return texts.filter(({ text }) => !isMissing(text));
}

/** True where a release never follows a press at once, but rows in which nothing happens: then these words are events. */
function areEvents(texts: readonly TimedText[]): boolean {
  const releases = texts.flatMap(({ text }, i) =>
    buttonWord(text) === 'up' && !isQuiet(text) && speaksOfPressing(text) ? [i] : [],
  );
  return releases.length > 0 && releases.every((i) => i > 0 && isQuiet(texts[i - 1]!.text));
}

/**
 * True where a number's bits are buttons of their own: only then does one press pass into another that shares a bit
 * with it (1, then 5, then 4). Numbers of single buttons have nothing in common, or a rest between them.
 */
function isBitMask(texts: readonly TimedText[]): boolean {
  const values = texts.map(({ text }) => Number(text));
  if (!values.every((value) => Number.isInteger(value) && value >= 0 && value < 2 ** 16)) return false;
  const isSingle = (value: number) => (value & (value - 1)) === 0;
  const known = new Set(values.filter((value) => value > 0 && isSingle(value)));
  const bitsOf = (value: number) => BITS.filter((bit) => (value & bit) !== 0);
  return values.some((value, i) => {
    if (isSingle(value)) return false;
    const neighbours = [values[i - 1] ?? 0, values[i + 1] ?? 0];
    const isShared = neighbours.some(
      (other) => (other & value) !== 0 && ((other & value) === other || (other & value) === value),
    );
    return isShared && bitsOf(value).some((bit) => known.has(bit));
  });
}

/** Presses of every bit by itself; the bit's value stays with the name. */
function readBits(texts: readonly TimedText[], name: string): Press[] {
  return BITS.flatMap((bit) => {
    const own = texts.map(({ timeUs, text }) => ({ timeUs, isDown: (Number(text) & bit) !== 0 }));
    const changes = own.filter(({ isDown }, i) => isDown !== (own[i - 1]?.isDown ?? false));
    return changes.flatMap(({ timeUs, isDown }, i) =>
      isDown
        ? [{ button: numbered(name, String(bit)), downUs: timeUs, upUs: changes[i + 1]?.timeUs ?? null }]
        : [],
    );
  });
}

/** True where numbers take many levels that no set of buttons does: a voltage, a time, a force. */
export function looksAnalog(distinct: readonly string[]): boolean {
  const values = distinct.filter((text) => !isMissing(text)).map(Number);
  if (values.length <= 4 || values.some((value) => Number.isNaN(value))) return false;
  const held = values.filter((value) => !Number.isInteger(value) || countBits(value) > 2);
  return held.length * 3 > values.length;
}

function countBits(value: number): number {
  return BITS.filter((bit) => (value & bit) !== 0).length;
}

/** How a button may be read, for whoever states it. */
export const BUTTON_UNIT_EXAMPLES = 'level, activeHigh, activeLow, edge, above:512 or below:512';

export function isButtonUnit(unit: string): boolean {
  return ['level', 'activeHigh', 'activeLow', 'edge'].includes(unit) || thresholdOf(unit) !== null;
}

/** The threshold of `above:512` or `below:512`; null for other units. */
export function thresholdOf(unit: string): number | null {
  const value = /^(?:above|below):(-?\d+(?:\.\d+)?)$/.exec(unit)?.[1];
  return value === undefined ? null : Number(value);
}

/** 0, false, '' and their kind are idle; where a column knows 0 and 1 and stays at 1, the button is active low. */
function idleTest(texts: readonly TimedText[], unit: string, endUs: number): (text: string) => boolean {
  const threshold = thresholdOf(unit);
  if (threshold !== null)
    return (text) => isMissing(text) || Number(text) >= threshold !== unit.startsWith('above');
  const plain = (text: string) =>
    isMissing(text) || (isNumeric(text) ? Number(text) === 0 : buttonWord(text) === 'up');
  if (unit === 'activeHigh') return plain;
  if (unit === 'activeLow') return (text) => isMissing(text) || !plain(text);
  if (!texts.some(({ text }) => plain(text))) {
    // A word that says "pressed" is pressed, however long it stays.
    if (texts.some(({ text }) => !isNumeric(text) && buttonWord(text) !== null)) return () => false;
    const idle = longestHeld(texts, endUs);
    return (text) => text === idle;
  }
  return isActiveLow(texts, endUs) ? (text) => !plain(text) : plain;
}

/** True where a level column rests at its "pressed" value: a switch that pulls its line down. */
export function isActiveLow(texts: readonly TimedText[], endUs: number): boolean {
  const rest = longestHeld(texts, endUs);
  const states = new Set(texts.map(({ text }) => text));
  const isElectrical = [...states].every((text) => isNumeric(text) || ELECTRICAL.test(text));
  const isTwoState = states.size === 2 && isElectrical;
  return isTwoState && (isNumeric(rest) ? Number(rest) !== 0 : /^(true|high)$/i.test(rest));
}

function longestHeld(texts: readonly TimedText[], endUs: number): string {
  const held = new Map<string, number>();
  for (let i = 0; i < texts.length; ++i) {
    const { timeUs, text } = texts[i]!;
    const until = texts[i + 1]?.timeUs ?? Math.max(endUs, timeUs);
    held.set(text, (held.get(text) ?? 0) + until - timeUs);
  }
  let best = '';
  let longest = -1;
  for (const [text, length] of held) if (length > longest) [best, longest] = [text, length];
  return best;
}

function readEdges(texts: readonly TimedText[], name: string): Press[] {
  const presses: { button: string; downUs: number; upUs: number | null }[] = [];
  for (const { timeUs, text } of texts) {
    if (isMissing(text) || Number(text) === 0) continue;
    const number = Number(text);
    const word = Number.isNaN(number) ? (buttonWord(text) ?? 'down') : number < 0 ? 'up' : 'down';
    const button = Number.isNaN(number) ? withoutButtonWords(text) || name : name;
    const open = presses.findLast((press) => press.button === button && press.upUs === null);
    if (word === 'up' && open) open.upUs = timeUs;
    else if (word === 'down' || (word === 'held' && !open))
      presses.push({ button, downUs: timeUs, upUs: null });
  }
  return presses;
}

function isNumeric(text: string): boolean {
  return text !== '' && !Number.isNaN(Number(text));
}

/** Which of several buttons a level of 2 or 3 means is unknown: the number stays with the name. */
function numbered(name: string, text: string): string {
  return isNumeric(text) && Number(text) > 1 ? `${name} ${Number(text)}` : name;
}

/** The button that the guard judges, as long as nobody says another: "power" in its name, else the first; null for none. */
export function likelyPowerButton(buttons: readonly string[]): string | null {
  return buttons.find((button) => /power/i.test(button)) ?? buttons[0] ?? null;
}

/** True where the texts speak of what happened rather than of a state. */
export function looksLikeEdges(distinct: readonly string[]): boolean {
  const present = distinct.filter((text) => !isMissing(text));
  if (present.length === 0) return false;
  if (present.some((text) => Number(text) === -1)) return true;
  return (
    present.every((text) =>
      EVENT.test(text.replace(/[_:.\-/]+/g, ' ').replace(/([a-z])([A-Z])/g, '$1 $2')),
    ) ||
    (distinct.length > present.length && present.every((text) => buttonWord(text) !== null))
  );
}

/** Stretches of equal text; empty text is no label. */
export function readTextSpans(texts: readonly TimedText[], endUs: number): TextSpan[] {
  const spans: TextSpan[] = [];
  for (let i = 0; i < texts.length; ++i) {
    const { timeUs, text } = texts[i]!;
    const until = texts[i + 1]?.timeUs ?? endUs;
    if (!isMissing(text)) spans.push({ startUs: timeUs, endUs: Math.max(timeUs, until), text });
  }
  return spans;
}
