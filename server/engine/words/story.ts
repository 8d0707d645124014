import { gestureDetector } from '../detect/detectors.ts';
import type { LightState } from '../replay/light.ts';
import type { Story } from '../replay/story.ts';
import type { Wrong } from '../replay/wrongMoments.ts';
import { counted, lasting, plural } from './count.ts';
import { NO_DEFLECTION_BUTTON } from './deflectionButton.ts';

/** A sentence of a story, with the moments that it rests on. */
export interface StoryLine {
  readonly text: string;
  readonly momentsUs: readonly number[];
  readonly isBad: boolean;
}

export const LIGHT_WORDS: Readonly<Record<LightState, string>> = {
  lit: 'lit',
  dark: 'dark',
  wronglyDark: 'wrongly dark',
  unknown: 'light not known',
};

/** How the light is told, where it is told. */
export const LIGHT_MODEL =
  'No log tells it. A refused press changes nothing, a stray one let through turns the blade dark or lights it again, a wanted one does what was meant. It was meant to be lit where it swung or made a gesture before the next wanted press.';

export function storyLines(story: Story): StoryLine[] {
  return [darkLine(story), ...repeatLine(story), ...deflectionLine(story), ...openLines(story)];
}

function darkLine({ wronglyDark, wronglyDarkUs, strays, wanted }: Story): StoryLine {
  const momentsUs = wronglyDark.map(({ startUs }) => startUs);
  if (momentsUs.length > 0) {
    const often = momentsUs.length === 1 ? 'once' : `${momentsUs.length} times`;
    return { text: `Wrongly dark ${often}, for ${lasting(wronglyDarkUs)} in all.`, momentsUs, isBad: true };
  }
  const text =
    strays + wanted === 0
      ? 'Whether it was ever wrongly dark is not known: no press is labelled wanted or stray.'
      : strays === 0
        ? 'Never wrongly dark, but no press is labelled stray.'
        : 'Never wrongly dark.';
  return { text, momentsUs, isBad: false };
}

function repeatLine({ wanted, repeatedUs }: Story): StoryLine[] {
  if (wanted === 0) return [];
  const isBad = repeatedUs.length > 0;
  const text = isBad
    ? `${repeatedUs.length} of ${counted(wanted, 'wanted press', 'wanted presses')} ${plural(repeatedUs.length, 'was', 'were')} refused, to be repeated.`
    : `No wanted press had to be repeated, of ${wanted}.`;
  return [{ text, momentsUs: repeatedUs, isBad }];
}

function deflectionLine({ deflecting, lostUs, areDeflectionsKnown }: Story): StoryLine[] {
  if (!areDeflectionsKnown)
    return [{ text: `Deflections are not known: ${NO_DEFLECTION_BUTTON}.`, momentsUs: [], isBad: false }];
  const all = deflecting.length + lostUs.length;
  if (lostUs.length === 0) return [];
  const text = `${lostUs.length} of ${counted(all, 'deflection')} went unseen: the blade was wrongly dark.`;
  return [{ text, momentsUs: lostUs, isBad: true }];
}

function openLines({ unlabelled, unknownUs }: Story): StoryLine[] {
  const lines: string[] = [];
  if (unlabelled > 0) {
    const one = plural(unlabelled, 'press is', 'presses are');
    lines.push(`${unlabelled} ${one} neither labelled wanted nor stray: shown, and not judged.`);
  }
  if (unknownUs > 0)
    lines.push(`For ${lasting(unknownUs)} the light is not known: a press could not be judged.`);
  return lines.map((text) => ({ text, momentsUs: [], isBad: false }));
}

/** A wrong moment in a few words. */
export function wrongWords(wrong: Wrong): string {
  switch (wrong.kind) {
    case 'strayLetThrough':
      return 'stray press let through';
    case 'wantedRefused':
      return 'wanted press refused';
    case 'swingMissed':
      return 'swing missed';
    case 'swingTwice':
      return 'swing fired twice';
    case 'deflectionOutside':
      return 'deflection outside any swing';
    case 'gestureMissed':
      return `${nameOf(wrong.id)} missed`;
    case 'gestureAgain':
      return `${nameOf(wrong.id)} fired again`;
    case 'gestureOutside':
      return `false ${nameOf(wrong.id)}`;
  }
}

function nameOf(id: Extract<Wrong, { id: unknown }>['id']): string {
  return gestureDetector(id).name.toLowerCase();
}
