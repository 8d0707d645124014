import { signal } from '@preact/signals';
import { DETECTOR_IDS } from '../../server/engine/detect/detectors.ts';

export type ThemeChoice = 'system' | 'light' | 'dark';

const NAMES = ['ink', 'quiet', 'rule', 'grid', 'fill', ...DETECTOR_IDS] as const;

/** Colours as the style sheet defines them now. Charts are canvases: they have to ask. */
export type Palette = Readonly<Record<(typeof NAMES)[number], string>> & {
  readonly scheme: 'light' | 'dark';
  readonly goodGround: string;
};

const systemIsDark = matchMedia('(prefers-color-scheme: dark)');
const stored = localStorage.getItem('theme');
export const themeChoice = signal<ThemeChoice>(stored === 'light' || stored === 'dark' ? stored : 'system');
let onPaper = false;
export const palette = signal<Palette>(readPalette());

/** Applies a choice of theme and keeps it for the next visit. */
export function chooseTheme(choice: ThemeChoice): void {
  themeChoice.value = choice;
  localStorage.setItem('theme', choice);
  applyTheme();
}

export function applyTheme(): void {
  const root = document.documentElement;
  const theme = themeNow();
  if (theme === 'system') delete root.dataset['theme'];
  else root.dataset['theme'] = theme;
  palette.value = readPalette();
}

/** Paper is light, whatever the screen is. */
export function printTheme(isPrinting: boolean): void {
  onPaper = isPrinting;
  applyTheme();
}

systemIsDark.addEventListener('change', applyTheme);

function themeNow(): ThemeChoice {
  return onPaper ? 'light' : themeChoice.peek();
}

/** What a colour of the style sheet comes to, by an element that has it: the sheet names a pair for light and dark. */
function readPalette(): Palette {
  const probe = document.body.appendChild(document.createElement('i'));
  const colour = (name: string): string => {
    probe.style.color = `var(--${name})`;
    return hexOf(getComputedStyle(probe).color);
  };
  const theme = themeNow();
  const isDark = theme === 'system' ? systemIsDark.matches : theme === 'dark';
  const hues = Object.fromEntries(NAMES.map((name) => [name, colour(name)]));
  const found = { ...hues, scheme: isDark ? 'dark' : 'light', goodGround: colour('good-ground') } as Palette;
  probe.remove();
  return found;
}

/** `rgb(29, 39, 51)` as `#1d2733`; a colour that lets others through as it is. */
function hexOf(colour: string): string {
  const parts = /^rgb\((\d+), (\d+), (\d+)\)$/.exec(colour)?.slice(1);
  return parts ? `#${parts.map((part) => Number(part).toString(16).padStart(2, '0')).join('')}` : colour;
}
