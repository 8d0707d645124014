import { many } from '../base/counted.ts';
import { SWING_MIN_PEAK_DPS } from '../truth/swings.ts';
import type { DeflectionBorder, DeflectionSide, LostDeflection } from './deflectionBorders.ts';
import type { DeflectionSuggestion } from './deflectionChoice.ts';
import type { ExplainedDeflection } from './deflectionVerdicts.ts';
import type { SwingEvidence } from './swingEvidence.ts';
import { endText, openMarginText, unfitText } from './words.ts';

/** How far the suggestion stays as good, one sentence a setting. */
export function deflectionMarginTexts(suggestion: DeflectionSuggestion): [string, string] {
  const { plateau, speedDps, rearmRatio, moreWrong, once } = suggestion;
  const { xMargin, yMargin } = plateau;
  const tolerance = (more: number) =>
    more > 0 ? `, with at most ${more} more of ${once.n} going wrong` : '';
  return [
    `Holds from ${xMargin.low} to ${xMargin.high} °/s at a re-arm of ${rearmRatio}${tolerance(moreWrong.x)}.${openMarginText(xMargin, '°/s', 'fast')}`,
    `Holds for a re-arm of ${yMargin.low} to ${yMargin.high} at ${speedDps} °/s${endText(yMargin.reachesLowEnd, 'from the lowest tried')}${tolerance(moreWrong.y)}.`,
  ];
}

/** What lies beyond one side of the plateau, and the first swing or fire that says so. */
export function deflectionBorderText(border: DeflectionBorder, lost: readonly LostDeflection[]): string {
  const { side, last, beyond, missed, twice, outside } = border;
  if (beyond === null) return openEndText(side, last);
  const worse = [
    ...(missed > 0 ? [`${many(missed, 'more swing', 'more swings')} would be missed`] : []),
    ...(twice > 0 ? [`${many(twice, 'more swing', 'more swings')} would fire twice`] : []),
    ...(outside > 0 ? [`${many(outside, 'more fire', 'more fires')} would come outside any swing`] : []),
  ];
  const kinds = { missed, twice, outside };
  const first = lost.find((one) => one.side === side && kinds[one.kind] > 0);
  const example = first ? ` (${first.title}, ${(first.atUs / 1e6).toFixed(1)} s)` : '';
  return `${placeText(side, last)}: ${worse.join(', ')}${example}.`;
}

/** What goes wrong at the suggestion itself, a missed swing with why. */
export function wrongDeflectionText({
  kind,
  atUs,
  title,
  reason,
}: ExplainedDeflection & { readonly title: string }): string {
  const when = `${(atUs / 1e6).toFixed(1)} s of ${title}`;
  switch (kind) {
    case 'missed':
      return `the swing at ${when} is missed${reason ? `, ${reason.text}` : ''}.`;
    case 'twice':
      return `the swing at ${when} fires twice or more.`;
    case 'outside':
      return `a fire at ${when} lies outside any swing.`;
  }
}

/** Whose swings the counts rest on: a proposal is never scored in silence. */
export function swingBasisText(evidence: readonly SwingEvidence[]): string {
  const fit = evidence.filter((take) => take.unfit === null);
  const total = (by: 'person' | 'program' | 'simulation') => fit.reduce((sum, take) => sum + take.by[by], 0);
  const parts = [
    `${many(total('person'), 'swing', 'swings')} labelled by a person`,
    ...(total('simulation') > 0 ? [`${total('simulation')} by the simulation`] : []),
    ...(total('program') > 0 ? [`${total('program')} proposed by the program and not confirmed`] : []),
  ];
  const outsideS = fit.reduce((sum, take) => sum + take.outsideS, 0);
  return `Rests on ${parts.join(', ')}, and ${outsideS.toFixed(0)} s outside any swing.${unfitText(evidence)}`;
}

function placeText(side: DeflectionSide, last: number): string {
  switch (side) {
    case 'lowerSpeed':
      return `Below ${last} °/s`;
    case 'higherSpeed':
      return `Above ${last} °/s`;
    case 'lowerRearm':
      return `Below a re-arm of ${last}`;
    case 'higherRearm':
      return `Above a re-arm of ${last}`;
  }
}

function openEndText(side: DeflectionSide, last: number): string {
  switch (side) {
    case 'lowerSpeed':
      return last < SWING_MIN_PEAK_DPS + 10
        ? `Below ${last} °/s is no swing, so nothing is suggested there. No fire outside a swing here speaks against a speed as low as that; a brisk carry might bring some.`
        : `Below ${last} °/s nothing was tried.`;
    case 'higherSpeed':
      return `Above ${last} °/s nothing was tried.`;
    case 'lowerRearm':
      return `Below a re-arm of ${last} nothing was tried: no swing here comes so close upon another that it needs more.`;
    case 'higherRearm':
      return `Even a re-arm of ${last} does as well here: no swing wavers about the speed at which it fires.`;
  }
}
