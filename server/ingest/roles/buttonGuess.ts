import { type ColumnSample, isTwoState, presentTexts } from '../layout/columnSample.ts';
import type { NamedColumn } from '../layout/triples.ts';
import { buttonWord, speaksOfPressing } from './buttonWords.ts';
import { looksAnalog, looksLikeEdges } from './tracks.ts';

/** A column as a button: how it shows the state, and why; `unit` is null where its name says button and its values do not. */
interface ButtonGuess {
  readonly unit: string | null;
  readonly reason: string;
}

const SEVERAL = 12;
/** Names that mean a button where the column has two states only. */
const BUTTON_LIKE = /^(power|pwr|main|aux|thumb|b\d*|pb\d*|sw\d*|in\d+|gpio\w*|d\d+)$/i;
const PRESSED = '(?:pressed|down|pushed)';
const LOW = new RegExp(
  `(?:active|${PRESSED})[ _-]*(?:is[ _-]*|when[ _-]*|=[ _-]*)?low\\b|low[ _-]*(?:active|(?:when|if|is|=|means)[ _-]*${PRESSED})|\\b0[ _]*(?:=|:|is|means)[ _]*${PRESSED}|${PRESSED}[ _]*(?:=|:|is)[ _]*0\\b|invert(?:ed)?\\b`,
  'i',
);
const HIGH = new RegExp(
  `(?:active|${PRESSED})[ _-]*(?:is[ _-]*|when[ _-]*|=[ _-]*)?high\\b|high[ _-]*(?:active|(?:when|if|is|=|means)[ _-]*${PRESSED})|\\b1[ _]*(?:=|:|is|means)[ _]*${PRESSED}|${PRESSED}[ _]*(?:=|:|is)[ _]*1\\b`,
  'i',
);
/** `BTN_N`, `nPWR`, `/KEY`: how circuit diagrams mark a line that is low when active. */
const LOW_MARK =
  /(?:button|btn|key|pwr|power|switch|sw)\w*[_ ](?:n|not|bar|inv)$|^n_?(?:BTN|PWR|KEY|SW|Btn|Button|Power|Key|Switch)|^[/!~]/;
const OF_BUTTON = /\b(?:button|btn|key|switch|press)/i;
/** A voltage stands near one of two levels, and in the middle only on the way. */
const MIDDLE = [0.3, 0.7] as const;
const MIDDLE_SHARE = 0.03;
/** Cells left empty in a column of events. */
const EVENTS_SHARE = 0.8;

/**
 * Whether a column is a button; null where nothing says so.
 * @param isNamed  whether the file has a header
 * @param notes  lines around the table: they may say that the button is low when pressed
 */
export function guessButton(
  column: NamedColumn,
  isNamed: boolean,
  notes: readonly string[],
): ButtonGuess | null {
  const { reading, sample, name } = column;
  const present = presentTexts(sample);
  const isText = sample.kind === 'text';
  const speaks =
    isText && present.every((text) => buttonWord(text) !== null) && present.some(speaksOfPressing);
  if (reading.kind === 'button' || speaks || (isText && looksLikeEdges(sample.distinct))) {
    if (sample.kind === 'number' && looksAnalog(present)) return analogButton(sample);
    if (present.length > SEVERAL)
      return { unit: null, reason: 'its name says button, but it takes too many values' };
    const unit = buttonUnit(column, notes);
    return { unit, reason: buttonReason(column, unit) };
  }
  if (isTwoState(sample) && (isNamed ? BUTTON_LIKE.test(name) : present.length === 2))
    return { unit: polarity(column, notes) ?? 'level', reason: 'it holds only 0 and 1, as a button does' };
  return null;
}

/** How a column that is a button shows it. @param notes  lines around the table */
export function buttonUnit(column: NamedColumn, notes: readonly string[] = []): string {
  const { sample } = column;
  if (isOfEvents(sample) || sample.kind === 'empty') return 'edge';
  if (sample.kind === 'number' && looksAnalog(presentTexts(sample)))
    return analogButton(sample).unit ?? 'level';
  return polarity(column, notes) ?? 'level';
}

/** Words of pressing that stand in most rows are states, also where rows of another sensor leave them empty. */
function isOfEvents({ distinct, missingShare }: ColumnSample): boolean {
  const isWritten = missingShare > 0 && missingShare < EVENTS_SHARE;
  return looksLikeEdges(distinct) && !(isWritten && !distinct.includes('-1'));
}

/** What name or notes say of the level at which it is pressed; null for nothing. Words tell by themselves. */
function polarity(
  { name, sample }: NamedColumn,
  notes: readonly string[],
): 'activeLow' | 'activeHigh' | null {
  if (
    sample.kind === 'text' &&
    !presentTexts(sample).every((text) => /^(true|false|high|low|on|off)$/i.test(text))
  )
    return null;
  const said = [name, ...notes.filter((note) => OF_BUTTON.test(note))];
  if (said.some((text) => LOW.test(text)) || LOW_MARK.test(name.trim())) return 'activeLow';
  return said.some((text) => HIGH.test(text)) ? 'activeHigh' : null;
}

function buttonReason({ reading, sample }: NamedColumn, unit: string): string {
  const how =
    unit === 'activeLow'
      ? 'it is said to be low when pressed'
      : unit === 'activeHigh'
        ? 'it is said to be high when pressed'
        : isOfEvents(sample)
          ? 'it says when something is pressed or let go'
          : 'it shows the state';
  return reading.kind === 'button' ? `its name says button; ${how}` : how;
}

/** A voltage or a count at the pin: pressed on the side of the middle where it is seldom. */
function analogButton({ values }: ColumnSample): ButtonGuess {
  const known = values.filter((value) => !Number.isNaN(value));
  const lowest = known.reduce((least, value) => Math.min(least, value), Infinity);
  const highest = known.reduce((most, value) => Math.max(most, value), -Infinity);
  const at = (part: number) => lowest + part * (highest - lowest);
  const between = known.filter((value) => value > at(MIDDLE[0]) && value < at(MIDDLE[1])).length;
  if (between > MIDDLE_SHARE * known.length)
    return { unit: null, reason: 'its name says button, but its values stay near no two levels' };
  const middle = Number(at(0.5).toPrecision(3));
  const high = known.filter((value) => value >= middle).length;
  const isLow = high * 2 > known.length;
  return {
    unit: `${isLow ? 'below' : 'above'}:${middle}`,
    reason: `its name says button; its values stay near ${shown(lowest)} and ${shown(highest)}: taken as pressed ${isLow ? 'below' : 'above'} ${middle}, where it is seldom`,
  };
}

function shown(value: number): string {
  return String(Number(value.toPrecision(3)));
}
