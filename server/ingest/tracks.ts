import type { Press } from '../engine/log.ts';
import { isMissing } from './cells.ts';
import type { TextSpan } from './types.ts';

/** A text that a button's or label's column shows from this moment on. */
export interface TimedText {
  readonly timeUs: number;
  readonly text: string;
}

const DOWN = /\b(down|press|pressed|click|clicked|push|pushed|on|true|high|closed|yes|1)\b/i;
const UP = /\b(up|release|released|off|false|low|open|no|0)\b/i;
const BITS: readonly number[] = Array.from({ length: 16 }, (_, i) => 2 ** i);
const EVENT = /\b(down|up|press|release|click|clicked)\b/i;

/**
 * Presses of the buttons in one column. `level`: the column shows the button's state in every row (0/1, true/false,
 * or the name of the button that is held). `edge`: it shows what just happened (`power down`, +1/-1) and nothing in
 * between.
 */
export function readPresses(texts: readonly TimedText[], name: string, unit: string, endUs: number): Press[] {
  return unit === 'edge' ? readEdges(texts, name) : readLevels(texts, name, endUs);
}

function readLevels(texts: readonly TimedText[], name: string, endUs: number): Press[] {
  if (isBitMask(texts)) return readBits(texts, name);
  const isIdle = idleTest(texts, endUs);
  const presses: Press[] = [];
  for (let i = 0; i < texts.length; ++i) {
    const { timeUs, text } = texts[i]!;
    if (isIdle(text)) continue;
    const button = DOWN.test(text) || isNumeric(text) ? numbered(name, text) : text;
    presses.push({ button, downUs: timeUs, upUs: texts[i + 1]?.timeUs ?? null });
  }
  return presses;
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

/** 0, false, '' and their kind are idle; where a column knows 0 and 1 and stays at 1, the button is active low. */
function idleTest(texts: readonly TimedText[], endUs: number): (text: string) => boolean {
  const plain = (text: string) => isMissing(text) || (isNumeric(text) ? Number(text) === 0 : UP.test(text));
  if (!texts.some(({ text }) => plain(text))) {
    const idle = longestHeld(texts, endUs);
    return (text) => text === idle;
  }
  const others = new Set(texts.map(({ text }) => text).filter((text) => !plain(text)));
  const isTwoState = others.size === 1 && texts.every(({ text }) => !isMissing(text));
  if (!isTwoState || plain(longestHeld(texts, endUs))) return plain;
  return (text) => !plain(text);
}

/** True where a level column rests at its "pressed" value: a switch that pulls its line down. */
export function isActiveLow(texts: readonly TimedText[], endUs: number): boolean {
  return (
    texts.length > 1 &&
    idleTest(texts, endUs)(longestHeld(texts, endUs)) &&
    /^(1(\.0*)?|true|high)$/i.test(longestHeld(texts, endUs))
  );
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
    if (isMissing(text)) continue;
    const number = Number(text);
    const isUp = Number.isNaN(number) ? UP.test(words(text)) : number < 0;
    const isDown = Number.isNaN(number) ? !isUp : number > 0;
    const button = Number.isNaN(number) ? buttonIn(text, name) : name;
    const open = presses.findLast((press) => press.button === button && press.upUs === null);
    if (isUp && open) open.upUs = timeUs;
    else if (isDown) presses.push({ button, downUs: timeUs, upUs: null });
  }
  return presses;
}

/** `power_down` names its button; a bare `down` takes the column's name. */
function buttonIn(text: string, name: string): string {
  const rest = words(text).replace(DOWN, '').replace(UP, '').trim().replace(/\s+/g, ' ');
  return rest === '' ? name : rest;
}

function words(text: string): string {
  return text
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .replace(/[_:.\-/]+/g, ' ')
    .toLowerCase();
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
    present.every((text) => EVENT.test(words(text))) ||
    (distinct.length > present.length &&
      present.every((text) => DOWN.test(words(text)) || UP.test(words(text))))
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
