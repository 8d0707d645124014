import type { Border, Lost } from '../../choose/borders.ts';
import { CLAIMED_SHARE, moreForClaim } from '../../choose/claim.ts';
import type { KOfN, ProblemKind } from '../../choose/problem.ts';
import type { Suggestion } from '../../choose/suggest.ts';
import { clopperPearsonInterval } from '../../statistics/clopperPearson.ts';
import { type Interval, wilsonInterval } from '../../statistics/wilson.ts';
import { ENOUGH_ROOM, type Margin, type Rise } from '../../sweep/plateau.ts';
import { counted, figure, plural } from '../count.ts';
import { type AxisWords, PROBLEM_WORDS, placed, withUnit } from './problems.ts';

const ENOUGH_PERCENT = `${100 * ENOUGH_ROOM} %`;

/** By what rule the setting was chosen among the best ones, and how much room it has. */
export function roomText(kind: ProblemKind, suggestion: RoomOf): string {
  const { room } = suggestion.plateau;
  if (room >= ENOUGH_ROOM - 1e-9)
    return `${PROBLEM_WORDS[kind].rule} that leaves ${ENOUGH_PERCENT} of room, or more, before anything known to do worse. ${triedText(kind, suggestion)}`;
  return `No setting leaves ${ENOUGH_PERCENT} of room before something is known to do worse: this one leaves most, ${wholePercent(room)}. ${triedText(kind, suggestion)}`;
}

type RoomOf = Pick<Suggestion, 'x' | 'y'> & {
  readonly plateau: Pick<Suggestion['plateau'], 'room' | 'triedRoom'>;
};

/** How far all that was tried is as good: what the margins of single settings say, for both at once. */
function triedText(kind: ProblemKind, { x, y, plateau: { triedRoom } }: RoomOf): string {
  // Rounded down: a sentence that says more than was tried would contradict the margins.
  const share = Math.floor(100 * Math.min(triedRoom, ENOUGH_ROOM) + 1e-9) / 100;
  if (share === 0) return 'One step further something does worse already.';
  const words = PROBLEM_WORDS[kind];
  const range = (axis: AxisWords, value: number) => {
    const ends = [value * (1 - share), value * (1 + share)];
    return `${figure(ends[0]!)} to ${withUnit(Number(figure(ends[1]!)), axis.unit)}`;
  };
  return `Both settings can change by ${wholePercent(share)} at once, and all that was tried within is as good: ${range(words.x, x)}, ${range(words.y, y)}.`;
}

function wholePercent(share: number): string {
  return `${Math.floor(100 * share + 1e-9)} %`;
}

/** That fewer wrong can be had, and at what price; empty where the fewest are. */
export function tightText(
  kind: ProblemKind,
  { plateau, fewestWrong, wrong }: Pick<Suggestion, 'plateau' | 'fewestWrong' | 'wrong'>,
): string {
  if (plateau.tightRoom === null) return '';
  const all = Object.keys(PROBLEM_WORDS[kind].worse).reduce((sum, part) => sum + wrong[part]!.k, 0);
  const more = all - fewestWrong;
  if (more === 0) return '';
  return `${fewestWrong === 0 ? 'None wrong' : `${fewestWrong} wrong`} can be had, but by no setting that can change by more than ${Math.floor(100 * plateau.tightRoom)} %: here ${more} more ${plural(more, 'is', 'are')} wrong.`;
}

/** How far the suggestion stays as good, one sentence a setting: "As good from 190 to 310 °/s at 120 ms." */
export function marginTexts(kind: ProblemKind, suggestion: Suggestion): [string, string] {
  const { x, y } = PROBLEM_WORDS[kind];
  const { plateau } = suggestion;
  const sentence = (axis: AxisWords, margin: Margin, other: string, along: keyof Rise) => {
    const range = `${axis.noun === undefined ? 'from' : `for ${axis.noun} of`} ${margin.low} to ${withUnit(margin.high, axis.unit)}`;
    return `As good ${range} at ${other}${toleranceText(suggestion, along)}.${openText(axis, margin)}`;
  };
  return [
    sentence(x, plateau.xMargin, placed(y, suggestion.y), 'x'),
    sentence(y, plateau.yMargin, placed(x, suggestion.x), 'y'),
  ];
}

/** Which ends of a margin are only those of what was tried. Below 0, and past a setting's limit, there is nothing to try. */
function openText(
  { unit, noun, much, isLimited }: AxisWords,
  { low, high, reachesLowEnd, reachesHighEnd }: Margin,
): string {
  const end = (value: number, most: string) => ` ${withUnit(value, unit)} is the ${most} tried, no margin`;
  const below = noun !== undefined && reachesLowEnd && low > 0 ? `${end(low, 'least')}.` : '';
  if (!reachesHighEnd || isLimited) return below;
  if (much === undefined) return `${below}${end(high, 'most')}.`;
  return `${below}${end(high, `${much}est`)}: nothing here tells how ${much} it may be.`;
}

/** What of a plateau is not quite as good: less than a step of the cost. */
function toleranceText({ wrong, rises, rise }: Suggestion, axis: keyof Rise): string {
  const { reversals, quietS } = rises;
  const [first] = Object.values(wrong);
  const more = [
    ...(rise[axis] > 0 ? [`${rise[axis]} more of ${first!.n} going wrong`] : []),
    ...(reversals && reversals[axis] > 0
      ? [`${reversals[axis]} more of ${counted(wrong['reversals']!.n, 'reversal')} open`]
      : []),
    ...(quietS && quietS[axis] >= 0.05
      ? [`${quietS[axis].toFixed(1)} s more of ${wrong['quietS']!.n.toFixed(1)} s of quiet time closed`]
      : []),
  ];
  return more.length === 0 ? '' : `, with at most ${more.join(' and ')}`;
}

/** What lies beyond one side of the plateau, and the first thing going wrong that says so. */
export function borderText(kind: ProblemKind, border: Border, lost: readonly Lost[]): string {
  const { axis, by, last, beyond, worse } = border;
  const words = PROBLEM_WORDS[kind];
  if (beyond === null) return words.openEnd(border, last);
  const parts = Object.entries(worse).filter(([, count]) => count > 0);
  const first = lost.find((one) => one.axis === axis && one.by === by && worse[one.part]! > 0);
  const example = first ? ` (${first.title}, ${seconds(first.atUs)})` : '';
  const told = parts.map(([part, count]) => words.worse[part]!(count)).join(', ');
  return `${by < 0 ? 'Below' : 'Above'} ${placed(words[axis], last)}: ${told}${example}.`;
}

export function seconds(us: number): string {
  return `${(us / 1e6).toFixed(1)} s`;
}

/** How sure a count is, and how often that holds. By motion intervals are exact ones: their units are spins and stops. */
export function intervalOf(kind: ProblemKind, { k, n }: KOfN): Interval | null {
  return kind === 'motion' ? clopperPearsonInterval(k, n) : wilsonInterval(k, n);
}

/** What the counts allow to be claimed, a sentence for each claim. */
export function claimTexts(kind: ProblemKind, { wrong }: Pick<Suggestion, 'wrong'>): string[] {
  return PROBLEM_WORDS[kind].claims.map(({ parts, ...words }) => {
    const k = parts.reduce((sum, part) => sum + wrong[part]!.k, 0);
    const { n } = wrong[parts[0]!]!;
    return claimText({ k, n }, intervalOf(kind, { k, n }), words);
  });
}

function claimText(
  { k, n }: KOfN,
  interval: Interval | null,
  { one, several, wrong }: { readonly one: string; readonly several: string; readonly wrong: string },
): string {
  const limit = `less than 1 in ${1 / CLAIMED_SHARE}`;
  const more = moreForClaim(k, n);
  if (more === 0) return `Enough ${several} to claim that ${limit} is ${wrong}.`;
  if (interval !== null && interval.low > CLAIMED_SHARE)
    return `${k} of ${n} ${several} ${plural(k, 'is', 'are')} ${wrong}, surely more than 1 in ${1 / CLAIMED_SHARE}: more of the same will not change that.`;
  const none = k === 0 ? 'none of them' : `no more than the ${k} above`;
  return `${counted(more, `more ${one}`, `more ${several}`)} (${n + more} in all), ${none} ${wrong}, to claim ${limit}.`;
}
