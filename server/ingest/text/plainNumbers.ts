import type { LineRewrite } from './rewrite.ts';

const LINES_AT_LEAST = 3;
const SHARE = 0.3;
const HEX = /(?<=^|[\s,;|:="])0[xX]([0-9a-fA-F]{1,8})(?=$|[\s,;|"])/g;
/** `1'234'567.8`, also with a typographic apostrophe or a narrow blank. */
const APOSTROPHES = /(?<![\d.,'’\u00a0\u202f])([+-]?[1-9]\d{0,2}(?:['’\u00a0\u202f]\d{3})+)(?!\d)/g;
const QUOTED_COMMAS = /"([+-]?[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?)"/g;
/** Points set thousands apart only where commas are decimal. */
const POINTS = /(?<=^|[;\t])(\s*[+-]?[1-9]\d{0,2}(?:\.\d{3})+)(?=(?:,\d+)?\s*(?:$|[;\t]))/g;
const DECIMAL_COMMA = /(?:^|[;\t])\s*[+-]?\d+,\d+\s*(?=$|[;\t])/;
const TWO_POINTS = /(?:^|[;\t])\s*[+-]?[1-9]\d{0,2}(?:\.\d{3}){2,}(?:,\d+)?\s*(?=$|[;\t])/;

/** Rows that stand in brackets each: `[0.1, 0.2, 0.3],`, and those of an array of arrays. */
const BRACKETED = /^\s*[[(]{1,2}(?=[^[\](){}]*[,;\s])[^[\](){}"]+[\])]{1,2},?\s*$/;

/** Cells in hexadecimal, or with their thousands set apart, and rows in brackets become plain ones. null where the lines hold none. */
export function plainNumbers(lines: readonly string[]): LineRewrite | null {
  const rewrites: ((line: string) => string)[] = [];
  const isCommon = (pattern: RegExp, among = lines) => {
    const with_ = among.filter((line) => line.search(pattern) >= 0).length;
    return with_ >= LINES_AT_LEAST && with_ >= SHARE * among.length;
  };
  if (isCommon(BRACKETED))
    rewrites.push((line) => (BRACKETED.test(line) ? line.replace(/^[\s[(]+|[\s\]),]+$/g, '') : line));
  if (isCommon(HEX))
    rewrites.push((line) => line.replace(HEX, (_, digits: string) => String(Number.parseInt(digits, 16))));
  if (isCommon(APOSTROPHES)) rewrites.push((line) => line.replace(APOSTROPHES, dropAll(/['’\u00a0\u202f]/g)));
  if (isCommon(QUOTED_COMMAS) && !hasQuotedDecimals(lines))
    rewrites.push((line) => line.replace(QUOTED_COMMAS, (_, number: string) => number.replaceAll(',', '')));
  if (isCommon(DECIMAL_COMMA) && isCommon(TWO_POINTS))
    rewrites.push((line) => line.replace(POINTS, dropAll(/\./g)));
  if (rewrites.length === 0) return null;
  return { header: null, line: (line) => rewrites.reduce((text, rewrite) => rewrite(text), line) };
}

function dropAll(mark: RegExp): (number: string) => string {
  return (number) => number.replace(mark, '');
}

/** `"0,125"`: then a quoted comma is decimal, and sets no thousands apart. */
function hasQuotedDecimals(lines: readonly string[]): boolean {
  return lines.some((line) => /"[+-]?(0,\d+|\d+,\d{1,2}|\d+,\d{4,})"/.test(line));
}
