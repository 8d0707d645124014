/** Counts, percents, signs and lengths of time, as the page and the command line write them. */

/** A count with its noun: `1 gap`, `3 gaps`. */
export function counted(count: number, one: string, several = `${one}s`): string {
  return `${count} ${plural(count, one, several)}`;
}

/** The word that goes with a count: `is` with 1, `are` with any other. */
export function plural(count: number, one: string, several: string): string {
  return count === 1 ? one : several;
}

/** `a`, `a and b`, `a, b and c`. */
export function listed(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
}

/** A number to `digits` significant digits, without trailing zeros or an exponent. */
export function figure(value: number, digits = 3): string {
  if (value === 0 || !Number.isFinite(value)) return String(value + 0);
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))));
  const text = value.toFixed(Math.min(decimals, 12));
  if (Number(text) === 0) return '0';
  return trueMinus(text.includes('.') ? text.replace(/\.?0+$/, '') : text);
}

/** A number to `decimals` decimals; a value that rounds to zero has no sign. */
export function fixed(value: number, decimals: number): string {
  return trueMinus((Number(value.toFixed(decimals)) + 0).toFixed(decimals));
}

/** As `fixed`, with a plus where it is positive: `+3`, `−3`, `0`. */
export function signed(value: number, decimals = 0): string {
  return `${Number(value.toFixed(decimals)) > 0 ? '+' : ''}${fixed(value, decimals)}`;
}

/** The sign of a negative number is a minus, not a hyphen. */
export function trueMinus(text: string): string {
  return text.replace('-', '−');
}

/** A value and the half width of its interval, to as many decimals as that has: `1.24 ± 0.03`. */
export function withHalf(value: number, half: number): string {
  if (!(half > 0)) return figure(value);
  const decimals = Math.min(6, Math.max(0, -Math.floor(Math.log10(half))));
  return `${fixed(value, decimals)} ± ${half.toFixed(decimals)}`;
}

/** A share of 0 to 1 as a percent with `decimals`; without them, to two significant digits. */
export function percent(share: number, decimals?: number): string {
  if (decimals !== undefined) return `${fixed(100 * share, decimals)} %`;
  return `${share > 0 && share < 1e-4 ? 'under 0.01' : figure(100 * share, 2)} %`;
}

/** An interval of shares in whole percents: `12–34 %`, or with another word between the two. */
export function percentRange(
  { low, high }: { readonly low: number; readonly high: number },
  to = '–',
): string {
  return `${fixed(100 * low, 0)}${to}${fixed(100 * high, 0)} %`;
}

/** A length of time in the unit that suits it. */
export function lasting(us: number): string {
  if (us < 1e6) return `${figure(us / 1e3)} ms`;
  if (us < 120e6) return `${figure(us / 1e6)} s`;
  if (us < 7200e6) return `${figure(us / 60e6)} min`;
  return `${figure(us / 3600e6)} h`;
}

/** A moment of the take, as the page's time axis shows it. */
export function moment(us: number): string {
  return `${(us / 1e6).toFixed(us < 1e9 ? 2 : 0)} s`;
}

/** The first few moments, and how many more there are. */
export function moments(listUs: readonly number[], most = 3): string {
  const shown = listUs.slice(0, most).map(moment).join(', ');
  return listUs.length > most ? `${shown} and ${listUs.length - most} more` : shown;
}

/** A speed in °/s, whole, or with decimals where rounding would put it on the other side of the threshold. */
export function shownSpeed(speedDps: number, thresholdDps: number): string {
  return Number.isNaN(speedDps) ? 'no speed known' : `${roundedBeside(speedDps, thresholdDps)} °/s`;
}

/** A value rounded, with as many decimals as it takes to stay on its side of a border. */
export function roundedBeside(value: number, border: number, leastDigits = 0): string {
  for (let digits = leastDigits; digits < 4; ++digits) {
    const text = value.toFixed(digits);
    if (value >= border === Number(text) >= border) return text;
  }
  return String(value);
}
