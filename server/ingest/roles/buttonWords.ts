/** What a word says of a button. `held`: it is still down; nothing new was pressed. */
type ButtonWord = 'down' | 'held' | 'up';

/** Any of these words, whole: letters with accents count as letters. */
function anyOf(words: string): RegExp {
  return new RegExp(`(?<![\\p{L}\\d])(?:${words})(?![\\p{L}\\d])`, 'gu');
}

const NEGATED = anyOf(
  '(?:not|un|non|never|no|nicht) ?(?:press(?:ed|ing)?|push(?:ed)?|down|held|hold|touch(?:ed)?|activ(?:e|ated)|click(?:ed)?|engaged|closed|depressed|gedrückt)|unpressed|untouched|inactive|disengaged',
);
const UP = anyOf(
  'up|releas(?:e|ed|ing)|off|false|low|open|opened|no|0|idle|free|none|rest|resting|neutral|let go|lifted|losgelassen|relâché|suelto',
);
const HELD = anyOf('held|hold|holding|repeat(?:ed)?|still down|long|longpress|gehalten');
const DOWN = anyOf(
  'down|press|pressed|pressing|depressed|click|clicked|push|pushed|on|true|high|closed|yes|1|touch(?:ed)?|activ(?:e|ated)|engaged|gedrückt|gedrueckt|appuyé|pulsado',
);
/** What only a button does. */
const PRESSING = anyOf('press\\w*|click\\w*|push\\w*|releas\\w*|held|hold|unpressed|gedrückt|losgelassen');
/** Nothing happens: neither a press nor its end. */
const QUIET = anyOf('idle|none|neutral|rest|resting|free');

/** What a text says of a button; null where no word of it is known. */
export function buttonWord(text: string): ButtonWord | null {
  const said = plainWords(text);
  const has = (pattern: RegExp) => said.search(pattern) >= 0;
  if (has(NEGATED) || has(UP)) return 'up';
  if (has(HELD)) return 'held';
  return has(DOWN) ? 'down' : null;
}

/** True for a word that tells of a press or of its end, and of nothing else. */
export function speaksOfPressing(text: string): boolean {
  return plainWords(text).search(PRESSING) >= 0;
}

/** True for a word that tells that nothing happens. */
export function isQuiet(text: string): boolean {
  const said = plainWords(text);
  return said.search(QUIET) >= 0 && !speaksOfPressing(said);
}

/** What is left of a text without what it says of a button: `power down` is of the button `power`. */
export function withoutButtonWords(text: string): string {
  return [NEGATED, UP, HELD, DOWN]
    .reduce((rest, pattern) => rest.replace(pattern, ' '), plainWords(text))
    .trim()
    .replace(/\s+/g, ' ');
}

function plainWords(text: string): string {
  return text
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .replace(/[_:.\-/]+/g, ' ')
    .toLowerCase()
    .trim();
}
