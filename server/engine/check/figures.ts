/** Numbers and times as the check's sentences write them. */

/** A number with so many digits that count, without trailing zeros or an exponent; with a true minus. */
export function figure(value: number, digits = 3): string {
  if (value === 0 || !Number.isFinite(value)) return String(value + 0);
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))));
  return String(Number(value.toFixed(Math.min(decimals, 12))) + 0).replace('-', '−');
}

/** A value and the half width of its interval, to as many decimals as that has: `1.24 ± 0.03`. */
export function withHalf(value: number, half: number): string {
  if (!(half > 0)) return figure(value);
  const decimals = Math.min(6, Math.max(0, -Math.floor(Math.log10(half))));
  return `${(Number(value.toFixed(decimals)) + 0).toFixed(decimals).replace('-', '−')} ± ${half.toFixed(decimals)}`;
}

export function percent(share: number): string {
  const value = 100 * share;
  return `${value > 0 && value < 0.01 ? 'under 0.01' : figure(value, 2)} %`;
}

/** `1 gap`, `3 gaps`. */
export function counted(count: number, one: string, more = `${one}s`): string {
  return `${count} ${count === 1 ? one : more}`;
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
