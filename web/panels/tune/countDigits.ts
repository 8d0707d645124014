import { inTenths } from '../../charts/laneShapes.ts';

/** Numbers as one SVG text: all their digits, and the x of each, whose middle stands there. */
export interface Digits {
  readonly text: string;
  readonly x: string;
}

/**
 * Numbers, each in the middle of its place; one that is wider than that is left out. As an element each, they would be most
 * of what a frame of a zoom changes.
 * @param digitPx  how wide a digit is
 */
export function placeDigits(
  numbers: readonly { readonly value: number; readonly middle: number; readonly width: number }[],
  digitPx: number,
): Digits {
  let text = '';
  let x = '';
  for (const { value, middle, width } of numbers) {
    const digits = String(value);
    if (digits.length * digitPx > width) continue;
    text += digits;
    for (let k = 0; k < digits.length; ++k)
      x += `${inTenths(middle + (k - (digits.length - 1) / 2) * digitPx)} `;
  }
  return { text, x };
}

let known: number | null = null;

/** How wide a digit of such a number is, in pixels, as the page's type is here: looked up once. */
export function digitPx(): number {
  if (known === null) {
    const context = document.createElement('canvas').getContext('2d')!;
    const size = getComputedStyle(document.documentElement).getPropertyValue('--text-xs');
    context.font = `700 ${size} ${getComputedStyle(document.body).fontFamily}`;
    known = context.measureText('0').width;
  }
  return known;
}
