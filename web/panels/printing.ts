import { options } from 'preact';
import { printTheme } from '../charts/palette.ts';

/** What a sheet of paper has room for, A4 or Letter, lying, in CSS pixels. */
const WIDE = 975;
const HIGH = 680;

/**
 * Makes the page fit to be printed while it is: light, and as it stands on the screen, only smaller. Plots are painted for
 * their size in pixels, so nothing is laid out anew.
 */
export function bindPrinting(): void {
  addEventListener('beforeprint', () => {
    const main = document.querySelector('main');
    if (!main) return;
    const { style } = document.documentElement;
    const { clientWidth: width, clientHeight: height } = main;
    style.setProperty('--print-vh', `${innerHeight / 100}px`);
    style.setProperty('--print-width', `${width}px`);
    style.setProperty('--print-height', `${height}px`);
    style.setProperty('--print-zoom', String(WIDE / width));
    style.setProperty('--print-zoom-page', String(Math.min(WIDE / width, HIGH / height)));
    document.getElementById('app')!.dataset['title'] = document.title;
    atOnce(() => printTheme(true));
  });
  addEventListener('afterprint', () => printTheme(false));
}

/** Renders what a change asks for, effects too, before it returns: the browser prints what stands there by then. */
function atOnce(change: () => void): void {
  const { debounceRendering, requestAnimationFrame } = options;
  const now = (run: () => void): void => run();
  Object.assign(options, { debounceRendering: now, requestAnimationFrame: now });
  change();
  Object.assign(options, { debounceRendering, requestAnimationFrame });
}
