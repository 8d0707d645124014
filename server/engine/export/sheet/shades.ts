/** A shade of a map: which counts have it. */
export interface Shade {
  readonly fill: string;
  /** For the legend. */
  readonly name: string;
  holds(wrong: number | null): boolean;
}

/** From none to most, each clearly darker than the one before, in greys too. */
const FILLS = ['#ffffff', '#dfe9e4', '#b4cfc5', '#81ab9e', '#4c7f72', '#1f4f45'];
/** A setting that is never suggested: hatched, so that no print takes it for a count. */
const NEVER = 'url(#never)';

/** Has to stand once in a page with maps. */
export const NEVER_PATTERN =
  '<svg width="0" height="0" style="position:absolute" aria-hidden="true"><defs><pattern id="never" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="5" height="5" fill="#ffffff"/><path d="M0 0V5" stroke="#9aa3a0" stroke-width="1.6"/></pattern></defs></svg>';

/**
 * None, then steps that grow by a factor, so that the least counts are told apart and the most fits in: 1, 2–3, 4–7 and so
 * on up to 31, 1–2, 3–8 and so on up to 242. Only the shades that the map has need of.
 */
export function shadesOf(wrong: readonly (number | null)[]): Shade[] {
  const most = wrong.reduce<number>((max, count) => Math.max(max, count ?? 0), 0);
  const steps = FILLS.length - 1;
  let factor = 2;
  while (factor ** steps <= most) ++factor;
  const shades: Shade[] = [{ fill: FILLS[0]!, name: 'none', holds: (count) => count === 0 }];
  for (let k = 0; k < steps && factor ** k <= most; ++k) {
    const [low, high] = [factor ** k, Math.min(factor ** (k + 1) - 1, most)];
    shades.push({
      fill: FILLS[k + 1]!,
      name: low === high ? String(low) : `${low}–${high}`,
      holds: (count) => count !== null && count >= low && count <= high,
    });
  }
  if (wrong.includes(null))
    shades.push({ fill: NEVER, name: 'never suggested', holds: (count) => count === null });
  return shades;
}
