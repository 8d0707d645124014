import { signal } from '@preact/signals';

export type ThemeChoice = 'system' | 'light' | 'dark';

/** Colours as the style sheet defines them now. Charts are canvases: they have to ask. */
export interface Palette {
  readonly ink: string;
  readonly quiet: string;
  readonly grid: string;
  readonly fill: string;
  readonly guard: string;
  readonly deflection: string;
  readonly stab: string;
  readonly twist: string;
  readonly impact: string;
}

const stored = localStorage.getItem('theme');
export const themeChoice = signal<ThemeChoice>(stored === 'light' || stored === 'dark' ? stored : 'system');
export const palette = signal<Palette>(readPalette());

/** Applies a choice of theme and keeps it for the next visit. */
export function chooseTheme(choice: ThemeChoice): void {
  themeChoice.value = choice;
  localStorage.setItem('theme', choice);
  applyTheme();
}

export function applyTheme(): void {
  const root = document.documentElement;
  if (themeChoice.value === 'system') delete root.dataset['theme'];
  else root.dataset['theme'] = themeChoice.value;
  palette.value = readPalette();
}

matchMedia('(prefers-color-scheme: dark)').addEventListener('change', applyTheme);

function readPalette(): Palette {
  const style = getComputedStyle(document.documentElement);
  const colour = (name: string): string => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: colour('ink'),
    quiet: colour('quiet'),
    grid: colour('grid'),
    fill: colour('fill'),
    guard: colour('guard'),
    deflection: colour('deflection'),
    stab: colour('stab'),
    twist: colour('twist'),
    impact: colour('impact'),
  };
}
