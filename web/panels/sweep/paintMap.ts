import { rampColour } from '../plot/ramp.ts';
import type { MapScale } from './mapScale.ts';

/** Colours of the page that a map needs, as the style sheet has them now. */
interface MapColours {
  readonly scheme: 'light' | 'dark';
  /** For a count of none, and where there is no value: red, green, blue. */
  readonly none: readonly [number, number, number];
  readonly blank: readonly [number, number, number];
}

/** Paints one pixel for each cell, then all of them as large as the canvas, with hard edges. */
export function paintMap(
  canvas: HTMLCanvasElement,
  values: ArrayLike<number>,
  ys: number,
  scale: MapScale,
  colours: MapColours,
): void {
  const xs = values.length / ys;
  const pixels = new ImageData(xs, ys);
  pixels.data.set(mapPixels(values, ys, scale, colours));
  const small = new OffscreenCanvas(xs, ys);
  small.getContext('2d')!.putImageData(pixels, 0, 0);
  const context = canvas.getContext('2d')!;
  context.imageSmoothingEnabled = false;
  context.drawImage(small, 0, 0, canvas.width, canvas.height);
}

/** Red, green, blue and opacity of a picture with a pixel for each cell: x to the right, y upwards. */
export function mapPixels(
  values: ArrayLike<number>,
  ys: number,
  scale: MapScale,
  colours: MapColours,
): Uint8ClampedArray {
  const xs = values.length / ys;
  const pixels = new Uint8ClampedArray(4 * values.length);
  for (let cell = 0; cell < values.length; ++cell) {
    const place = scale.place(values[cell]!);
    const isBlank = Number.isNaN(values[cell]!);
    const colour = isBlank
      ? colours.blank
      : place === null
        ? colours.none
        : rampColour(place, colours.scheme);
    pixels.set([...colour, 255], 4 * ((ys - 1 - (cell % ys)) * xs + Math.floor(cell / ys)));
  }
  return pixels;
}

/** Red, green and blue of `#rrggbb`. */
export function hexColour(text: string): [number, number, number] {
  return [1, 3, 5].map((at) => Number.parseInt(text.slice(at, at + 2), 16)) as [number, number, number];
}
