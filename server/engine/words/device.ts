import type { FireKind } from '../base/decisions.ts';
import type { Setting } from '../base/setting.ts';
import { DETECTORS, type DetectorId } from '../detect/detectors.ts';
import {
  type Agreement,
  type DecisionKind,
  DIAL_TOLERANCE_US,
  type Difference,
  isAlike,
} from '../device/agreement.ts';
import type { Cause, SensorPart } from '../device/causes.ts';
import { type CauseSearch, type Finding, LEAST_COST } from '../device/findCause.ts';
import type { SmoothingSettings } from '../filter/smoothing.ts';
import { counted, figure, listed, percentRange, plural } from './count.ts';
import { NO_DEFLECTION_BUTTON } from './deflectionButton.ts';

const KINDS: Readonly<Record<DecisionKind, string>> = {
  press: 'Press',
  closes: 'Guard closes',
  opens: 'Guard opens',
  deflection: 'Deflection',
  impact: 'Impact',
  stab: 'Stab',
  twist: 'Twist',
  dialUp: 'Dial up',
  dialDown: 'Dial down',
};

/** How far the prop is as the bench, in a line: the count, and its interval. */
export function agreementText(agreement: Agreement): string {
  const { n, alike, interval, lateUs } = agreement;
  const unknown = agreement.areDeflectionsUnknown
    ? ` Deflections are not compared: ${NO_DEFLECTION_BUTTON}.`
    : '';
  if (n === 0 || interval === null)
    return `Nothing to compare: in what the log tells of, neither prop nor bench decides anything.${unknown}`;
  const isSame = alike === n && lateUs === 0;
  const head = isSame ? 'The prop behaves as the bench' : 'The prop differs from the bench';
  const count = `${alike} of ${n} decisions alike (about 95 %: ${percentRange(interval, ' to ')})`;
  return `${head}: ${count}${lateUs === 0 ? '' : `, the prop ${lateText(lateUs)}`}.${unknown}`;
}

/** What was counted, and what could not be; a sentence each. */
export function countedTexts(
  { ofKind, toleranceUs, pairs, apart, ...rest }: Agreement,
  told: { readonly guard: boolean; readonly presses: boolean; readonly fires: boolean },
): string[] {
  const dial = ofKind.has('dialUp') || ofKind.has('dialDown');
  const found = [
    `One decision is a press, refused or not, the guard as it closes or opens, or a fire. Two are at the same time within ${ms(toleranceUs)}${dial ? `; steps of the dial, which turns slowly, within ${ms(DIAL_TOLERANCE_US)}` : ''}.`,
  ];
  const isBare = [...ofKind.keys()].every((kind) => kind === 'closes' || kind === 'opens');
  if (ofKind.size > 0 && isBare)
    found.push('No press and no fire was compared: only the guard, as it closes and opens.');
  const silent = [
    ...(told.guard ? [] : ['the guard']),
    ...(told.presses ? [] : ['refused presses']),
    ...(told.fires ? [] : ['fires']),
  ];
  if (silent.length > 0) found.push(`The log does not tell of ${listed(silent)}.`);
  if (
    rest.differences.length === 0 &&
    rest.lateUs === 0 &&
    !isAlike({ ofKind, toleranceUs, pairs, apart, ...rest })
  )
    found.push(`${apart} of ${pairs} are not at the same sample.`);
  return found;
}

/** One decision that both do not share. */
export function differenceText({ kind, who, lateUs }: Difference): string {
  if (kind === 'press') return `Press refused by the ${who} alone`;
  if (lateUs !== null) return `${KINDS[kind]}: the prop ${lateText(lateUs)}`;
  return `${KINDS[kind]} on the ${who} alone`;
}

/** Counts of alike and of all, by kind. */
export function kindCounts({ ofKind }: Agreement): string {
  return [...ofKind]
    .map(([kind, { alike, n }]) => `${KINDS[kind].toLowerCase()} ${alike} of ${n}`)
    .join(', ');
}

/** What came of the search for a cause, a sentence each; causes that explain equally well stand below one another. */
export function causeTexts({ agreement, best, equals, rest, next, tried }: CauseSearch): string[] {
  const all = agreement.differences.length;
  const [first] = best;
  if (tried === 0) return ['There is nothing to explain.'];
  if (!first) {
    if (all > 0 && agreement.cost < LEAST_COST)
      return [
        `The cause is not known: ${counted(all, 'difference')} ${plural(all, 'is', 'are')} too few to tell one by.`,
      ];
    const nearest = next === null ? '' : ` Nearest to it: ${findingText(next, all)}.`;
    return [`The cause is not known: of ${tried} things tried, none explains half of it.${nearest}`];
  }
  if (rest && first.left > all / 2)
    return [
      `Likely two causes together: ${causeText(first.cause, first.range)}; and ${findingText(rest, all)}.`,
    ];
  const likely =
    equals === 1
      ? [`Likely cause: ${findingText(first, all)}.`]
      : [
          `${equals} causes explain it equally well, and this take does not tell which (${leftText(first.left, all)} with each)${equals > best.length ? '; among them' : ''}:`,
          ...best.map(({ cause, range }) => `· ${causeText(cause, range)}`),
        ];
  return [
    ...likely,
    ...(rest === null ? [] : [`On top of that: ${findingText(rest, first.left)}.`]),
    ...(next === null ? [] : [lessWellText(next, first, all)]),
  ];
}

function lessWellText(next: Finding, first: Finding, all: number): string {
  const apart = next.left === first.left ? ', but the times lie further apart' : '';
  return `Less well: ${causeText(next.cause, next.range)} (${leftText(next.left, all)}${apart}).`;
}

function findingText({ cause, left, range }: Pick<Finding, 'cause' | 'left' | 'range'>, of: number): string {
  return `${causeText(cause, range)} (${leftText(left, of)})`;
}

function leftText(left: number, of: number): string {
  if (of === 0) return left === 0 ? 'all alike' : counted(left, 'difference');
  if (left === 0) return of === 1 ? 'the difference is gone' : `none of ${of} differences is left`;
  return `${left} of ${counted(of, 'difference')} ${plural(left, 'is', 'are')} left`;
}

/** A cause, as an end of a sentence. @param range  of numbers that explain it as well */
export function causeText(cause: Cause, range: Finding['range'] = null): string {
  switch (cause.kind) {
    case 'late':
      return cause.samples > 0
        ? `the prop decides ${figure(cause.ms)} ms late (${counted(cause.samples, 'sample')})`
        : `what the prop decides is logged ${figure(-cause.ms)} ms before the motion (${counted(-cause.samples, 'sample')})`;
    case 'everyNth':
      return `the prop works at ${figure(cause.rateHz)} Hz, on every ${ordinal(cause.every)} sample of the log`;
    case 'countedAt':
      return `the prop is built for ${figure(cause.rateHz)} Hz and works at ${figure(cause.worksAtHz)} Hz`;
    case 'smoothing':
      return `the prop's smoothing is ${smoothingText(cause.smoothing, range)}`;
    case 'mirrored':
      return `the prop reads ${partText(cause.part)} on ${cause.axis} with the other sign`;
    case 'swapped':
      return `the prop takes ${cause.axes.join(' and ')} of ${partText(cause.part)} for one another`;
    case 'mount':
      return `the prop takes the sensor's ${cause.mount.tip.replace('-', '−')} for the one to the tip, unless the take's mount is set wrongly`;
    case 'unit':
      return `the prop takes ${partText(cause.part)} as ${figure(cause.factor)} times what they are${unitHint(cause)}`;
    case 'noBias':
      return "the prop does not take the gyro's bias off";
    case 'setting':
      return `another setting: ${settingText(cause.path, cause.value, range)}`;
    case 'candidate':
      return `the prop runs ${cause.name}`;
    case 'silent':
      return `the prop has no ${fireText(cause.fires)}, or does not log it`;
  }
}

function smoothingText(
  { kind, order, cutoffHz, lengthMs }: SmoothingSettings,
  range: Finding['range'],
): string {
  switch (kind) {
    case 'none':
      return 'none';
    case 'firstOrder':
      return `of first order at ${valueText(cutoffHz, range)} Hz`;
    case 'butterworth':
      return `a Butterworth of order ${order} at ${valueText(cutoffHz, range)} Hz`;
    case 'movingAverage':
      return `a moving average over ${valueText(lengthMs, range)} ms`;
    case 'median':
      return `a median over ${valueText(lengthMs, range)} ms`;
  }
}

function settingText(path: string, value: number | string, range: Finding['range']): string {
  const [group, name] = path.split('.') as [DetectorId, string];
  const setting = (DETECTORS[group].settings as Readonly<Record<string, Setting>>)[name]!;
  if (setting.kind === 'choice')
    return `${setting.label} ${setting.choices.find(([own]) => own === value)?.[1] ?? value}`;
  return `${setting.label} ${valueText(value as number, range)}${setting.unit === '' ? '' : ` ${setting.unit}`}`;
}

function valueText(value: number, range: Finding['range']): string {
  if (range === null || range.low === range.high) return figure(value, 4);
  return `${figure(value, 4)} (anything from ${figure(range.low, 4)} to ${figure(range.high, 4)})`;
}

function partText(part: SensorPart): string {
  return part === 'gyro' ? 'rates' : part === 'accel' ? 'forces' : 'rates and forces';
}

function unitHint({ part, factor }: Cause & { kind: 'unit' }): string {
  const near = (other: number) => Math.abs(factor / other - 1) < 1e-6;
  if (part === 'accel' && near(9.80665)) return ', as if m/s² were g';
  if (part === 'accel' && near(1 / 9.80665)) return ', as if g were m/s²';
  if (part === 'gyro' && near(180 / Math.PI)) return ', as if °/s were rad/s';
  if (part === 'gyro' && near(Math.PI / 180)) return ', as if rad/s were °/s';
  return factor === 1000 || factor === 0.001
    ? ', a thousand of one unit to the other'
    : ', as of another range';
}

function fireText(fires: FireKind): string {
  return fires === 'dial' ? 'dial' : KINDS[fires].toLowerCase();
}

function lateText(lateUs: number): string {
  return `${ms(Math.abs(lateUs))} ${lateUs > 0 ? 'later' : 'earlier'}`;
}

function ms(us: number): string {
  return `${figure(us / 1000)} ms`;
}

function ordinal(count: number): string {
  return ['', 'first', 'second', 'third', 'fourth'][count] ?? `${count}th`;
}
