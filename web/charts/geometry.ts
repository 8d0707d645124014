/** Every stave and lane shares these, so that one moment stands at one place in all of them. CSS pixels. */
export const GUTTER_LEFT = 84;
export const GUTTER_RIGHT = 46;
export const PLOT_TOP = 6;
export const AXIS_HEIGHT = 24;

/** Where a value stands in a plot of a given height; 0 is the top. */
export function yOf(value: number, range: readonly [number, number], height: number): number {
  return ((range[1] - value) / (range[1] - range[0])) * height;
}

export function valueAt(y: number, range: readonly [number, number], height: number): number {
  return range[1] - (y / height) * (range[1] - range[0]);
}
