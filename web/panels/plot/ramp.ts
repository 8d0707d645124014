/** A ramp of colours from good to bad whose lightness changes evenly, in OKLab. */

/** L, a, b as OKLab has them. */
type Lab = readonly [number, number, number];

/**
 * Lightness, chroma and hue in degrees of a few stations along the ramp. The worst stands out most from the page in either
 * scheme: the darkest in light, in dark the brightest and most colourful.
 */
const STATIONS: Readonly<Record<'light' | 'dark', readonly (readonly [number, number, number])[]>> = {
  light: [
    [0.95, 0.035, 88],
    [0.72, 0.135, 62],
    [0.49, 0.15, 32],
    [0.26, 0.075, 20],
  ],
  dark: [
    [0.22, 0.02, 60],
    [0.39, 0.08, 50],
    [0.56, 0.14, 42],
    [0.73, 0.18, 38],
  ],
};

/**
 * The colour at t in [0, 1] as red, green and blue, 0 to 255. Lightness is linear in t: equal steps of a value are equal
 * steps to the eye, and the order of colours stays when hue is not seen.
 * Source of the matrices: B. Ottosson, "A perceptual color space for image processing", 2020 (from memory).
 */
export function rampColour(t: number, scheme: 'light' | 'dark'): [number, number, number] {
  const stations = STATIONS[scheme];
  const first = stations[0]!;
  const end = stations.at(-1)!;
  const lightness = first[0] + (end[0] - first[0]) * Math.min(1, Math.max(0, t));
  // Chroma and hue follow the lightness between the stations beside it.
  let k = 1;
  while (k < stations.length - 1 && isBeyond(lightness, stations[k]![0], end[0] > first[0])) ++k;
  const [from, to] = [stations[k - 1]!, stations[k]!];
  const part = (lightness - from[0]) / (to[0] - from[0]);
  const chroma = from[1] + part * (to[1] - from[1]);
  const hue = ((from[2] + part * (to[2] - from[2])) * Math.PI) / 180;
  return toSrgb([lightness, chroma * Math.cos(hue), chroma * Math.sin(hue)]);
}

export function cssColour([r, g, b]: readonly [number, number, number]): string {
  return `rgb(${r} ${g} ${b})`;
}

function isBeyond(lightness: number, station: number, isRising: boolean): boolean {
  return isRising ? lightness > station : lightness < station;
}

function toSrgb([lightness, a, b]: Lab): [number, number, number] {
  const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    encode(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s),
    encode(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s),
    encode(-0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s),
  ];
}

function encode(linear: number): number {
  const within = Math.min(1, Math.max(0, linear));
  const part = within <= 0.0031308 ? 12.92 * within : 1.055 * within ** (1 / 2.4) - 0.055;
  return Math.round(part * 255);
}
