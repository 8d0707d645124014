import type { Span } from '../base/log.ts';
import { intentOf } from '../labels/labels.ts';
import { isPress, type LightInput, type LightSpan, lightAt, lightOver, timeIn } from './light.ts';

/** For so long a deflection is drawn; how long a prop shows it is its own affair. */
export const DEFLECTION_SHOWN_US = 200_000;

/** What the performer would have seen of the blade over a take, and where it was not what they wanted. */
export interface Story {
  readonly light: readonly LightSpan[];
  /** Deflections of a lit blade. */
  readonly deflecting: readonly Span[];
  /** Deflections that nobody saw, because the blade was wrongly dark. */
  readonly lostUs: readonly number[];
  /** Whether it is known when the deflection's button was held; where not, nothing is told of deflections. */
  readonly areDeflectionsKnown: boolean;
  readonly wronglyDark: readonly Span[];
  readonly wronglyDarkUs: number;
  readonly unknownUs: number;
  readonly strays: number;
  readonly wanted: number;
  /** Wanted presses that the guard refused: each had to be repeated. */
  readonly repeatedUs: readonly number[];
  /** Presses that are labelled neither wanted nor stray. */
  readonly unlabelled: number;
}

/** @param input  `deflectionsUs` are one candidate's, in time order, as the verdicts are; null where nobody knows them. */
export function tellStory(input: LightInput & { readonly deflectionsUs: readonly number[] | null }): Story {
  const { verdicts, labels, durationUs } = input;
  const deflectionsUs = input.deflectionsUs ?? [];
  const light = lightOver(input);
  const presses = verdicts.filter(isPress).map((one) => ({
    ...one,
    intent: intentOf(labels, one.press)?.intent ?? 'unsure',
  }));
  const wanted = presses.filter(({ intent }) => intent === 'wanted');
  const strays = presses.filter(({ intent }) => intent === 'stray').length;
  const seen = deflectionsUs.filter((us) => lightAt(light, us) === 'lit');
  return {
    light,
    deflecting: seen.map((startUs) => ({
      startUs,
      endUs: Math.min(durationUs, startUs + DEFLECTION_SHOWN_US),
    })),
    lostUs: deflectionsUs.filter((us) => lightAt(light, us) === 'wronglyDark'),
    areDeflectionsKnown: input.deflectionsUs !== null,
    wronglyDark: light.filter(({ state }) => state === 'wronglyDark'),
    wronglyDarkUs: timeIn(light, 'wronglyDark'),
    unknownUs: timeIn(light, 'unknown'),
    strays,
    wanted: wanted.length,
    repeatedUs: wanted
      .filter(({ accepted }) => accepted === false)
      .map(({ decidedUs, press }) => decidedUs ?? press.downUs),
    unlabelled: presses.length - wanted.length - strays,
  };
}
