/** Numbers in the reasons that verdicts give: rounded, but never so that they contradict the verdict. */

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
