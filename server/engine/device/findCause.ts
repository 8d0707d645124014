import { FIRE_KINDS, type FireKind, type LoggedDecisions } from '../base/decisions.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import { whenSwitchedOn } from '../detect/deflectionButton.ts';
import type { DetectorId } from '../detect/detectors.ts';
import type { Candidate } from '../settings/candidate.ts';
import { type Agreement, compareDecisions, type DecisionKind, isAlike } from './agreement.ts';
import { type Cause, familyOf, numberOf } from './causes.ts';
import { KIND_OF } from './decisions.ts';
import { type Logged, loggedOnGrid } from './logged.ts';
import { benchSetup, type DeviceTake, type Setup, SetupRunner } from './setup.ts';
import { listVariants, type OtherCandidate, type Variant, withNumber } from './variants.ts';

/** How well one cause explains what prop and bench do not share. */
export interface Finding {
  readonly cause: Cause;
  /** Differences that are left with it. */
  readonly left: number;
  readonly cost: number;
  /** Other numbers that explain as much, where it has one. */
  readonly range: { readonly low: number; readonly high: number } | null;
}

/** What came of the search. */
export interface CauseSearch {
  /** Without any of them. */
  readonly agreement: Agreement;
  /**
   * Those that explain most, and equally much, simplest first, the first few of them; empty where none explains half, unless
   * it does so together with `rest`.
   */
  readonly best: readonly Finding[];
  /** How many explain as much. */
  readonly equals: number;
  /** What explains most of the rest on top of the first of these; null where nothing does, or nothing is left. */
  readonly rest: Finding | null;
  /** The best of another kind, to judge how far ahead the best is; null where none explains half of it either. */
  readonly next: Finding | null;
  readonly tried: number;
}

export interface CauseInput extends DeviceTake {
  readonly calibration: Calibration;
  readonly candidate: Candidate;
  readonly logged: LoggedDecisions;
  /** What the prop may run instead. */
  readonly others: readonly OtherCandidate[];
}

/** A cause is named only where it leaves no more than this part. */
const NAMED_PART = 0.5;
/** A cause has to explain as much as so many differences: one or two of them something or other always does. */
export const LEAST_COST = 2.5;
/** Two that leave the same and cost no more apart explain equally. */
const ALIKE_COST = 0.5;
const EQUALS_TOLD = 6;
/** So many differences left, and so large a part of them, are worth another search. */
const WORTH_MORE = 2;
const WORTH_PART = 0.05;
/** Steps of the finer search on either side of the best number. */
const FINER = 6;

/**
 * Looks for why a prop decides otherwise than the bench: whatever may be otherwise is tried, one thing at a time, and what
 * leaves fewest differences is the likely cause.
 * @param tell  hears what part is done, 0 to 1.
 */
export function findCause(input: CauseInput, tell: (part: number) => void = () => {}): CauseSearch {
  const search = new Search(input);
  const base = benchSetup(input.candidate, input.calibration);
  const agreement = search.agreementOf(base);
  if (isAlike(agreement)) return { agreement, best: [], equals: 0, rest: null, next: null, tried: 0 };
  const first = search.round(base, agreement, input.others, (part) => tell(part / 2));
  const lead = first.best[0] ?? first.next;
  const isDone = !lead || lead.finding.left < Math.max(WORTH_MORE, WORTH_PART * agreement.differences.length);
  const second = isDone ? null : search.round(lead.setup, lead.agreement, [], (part) => tell(0.5 + part / 2));
  tell(1);
  const rest = second?.best[0] ?? null;
  // Two that explain half of it together, where neither does alone.
  const isPair = first.best.length === 0 && lead && rest && explainsHalf(rest, agreement);
  const best = isPair ? [lead] : first.best;
  return {
    agreement,
    best: best.slice(0, EQUALS_TOLD).map(({ finding }) => finding),
    equals: best.length,
    rest: best.length === 0 ? null : (rest?.finding ?? null),
    next: isPair ? null : (first.next?.finding ?? null),
    tried: search.tried,
  };
}

function explainsHalf({ finding }: Tried, before: Agreement): boolean {
  const isEnough = before.differences.length === 0 || before.cost - finding.cost >= LEAST_COST;
  return (
    isEnough &&
    finding.left <= NAMED_PART * before.differences.length &&
    finding.cost <= NAMED_PART * before.cost
  );
}

interface Tried {
  readonly finding: Finding;
  readonly setup: Setup;
  readonly agreement: Agreement;
}

class Search {
  tried = 0;
  private readonly input: CauseInput;
  private readonly runner: SetupRunner;
  private readonly logged: Logged;
  private readonly downsUs: readonly number[];

  constructor(input: CauseInput) {
    this.input = input;
    this.runner = new SetupRunner(input);
    this.logged = loggedOnGrid(input.logged, input.uniform, input.presses);
    this.downsUs = input.presses.map(({ downUs }) => downUs);
  }

  agreementOf(setup: Setup): Agreement {
    ++this.tried;
    return compareDecisions(this.runner.decisions(setup), this.logged, this.input.uniform, this.downsUs);
  }

  /** One thing more is otherwise. @param before  without it */
  round(
    base: Setup,
    before: Agreement,
    others: readonly OtherCandidate[],
    tell: (part: number) => void,
  ): { readonly best: readonly Tried[]; readonly next: Tried | null } {
    const { rateHz } = this.input.uniform;
    const variants = listVariants(
      base,
      rateHz,
      detectorsOf(before),
      silentOf(before, this.logged),
      others,
    ).filter(({ setup }) => this.isKnown(setup) || !this.isKnown(base));
    const all = variants.map((variant, i) => {
      if (i % 8 === 0) tell(i / variants.length);
      return this.tryOut(variant);
    });
    const families = new Map<string, Tried[]>();
    for (const own of all) {
      const family = familyOf(own.finding.cause);
      families.set(family, [...(families.get(family) ?? []), own]);
    }
    const least = Math.min(...all.map(({ finding }) => finding.cost));
    const found = [...families.values()].map((family) =>
      lowest(family).finding.cost <= 2 * least + 2 ? this.finer(base, family) : lowest(family),
    );
    const top = lowest(found);
    const isEqual = ({ finding }: Tried) =>
      finding.left === top.finding.left && finding.cost <= top.finding.cost + ALIKE_COST;
    const best = explainsHalf(top, before) ? found.filter(isEqual) : [];
    const worth = (best.length === 0 ? 1 : NAMED_PART) * before.cost;
    const behind = found.filter((own) => !best.includes(own) && own.finding.cost < worth);
    return { best, next: behind.length === 0 ? null : lowest(behind) };
  }

  /** A setup whose deflections nobody knows would explain all of theirs that are not alike. */
  private isKnown({ candidate }: Setup): boolean {
    const { uniform, deflectionPresses = null } = this.input;
    return whenSwitchedOn({ ...uniform, deflectionPresses }, candidate.deflection) !== 'unknown';
  }

  private tryOut({ cause, setup }: Variant): Tried {
    const agreement = this.agreementOf(setup);
    const { differences, cost } = agreement;
    return { finding: { cause, left: differences.length, cost, range: null }, setup, agreement };
  }

  /** The best number of a family, looked for between those that were tried, and the others that do as well. */
  private finer(base: Setup, family: readonly Tried[]): Tried {
    const best = lowest(family);
    const at = numberOf(best.finding.cause);
    if (at === null || best.finding.cause.kind === 'late') return best;
    const numbers = family.map(({ finding }) => numberOf(finding.cause)!).sort((a, b) => a - b);
    const place = numbers.indexOf(at);
    const between = [numbers[place - 1], numbers[place + 1]].flatMap((other) =>
      other === undefined ? [] : stepsBetween(at, other),
    );
    const more = between.flatMap((value) => {
      const variant = withNumber(base, best.finding.cause, value);
      return variant ? [this.tryOut(variant)] : [];
    });
    const all = [...family, ...more];
    const found = lowest(all);
    return { ...found, finding: { ...found.finding, range: rangeOf(found, all) } };
  }
}

/** The numbers about the best that explain as much as it does, up to the first on either side that does not. */
function rangeOf({ finding: best }: Tried, all: readonly Tried[]): Finding['range'] {
  const rising = all
    .map(({ finding }) => ({ ...finding, value: numberOf(finding.cause)! }))
    .sort((a, b) => a.value - b.value);
  const isAsGood = (own: Finding | undefined) =>
    own !== undefined && own.left === best.left && own.cost <= best.cost + ALIKE_COST / 2;
  let [from, to] = [0, 0].map(() => rising.findIndex(({ value }) => value === numberOf(best.cause))) as [
    number,
    number,
  ];
  while (isAsGood(rising[from - 1])) --from;
  while (isAsGood(rising[to + 1])) ++to;
  return { low: rising[from]!.value, high: rising[to]!.value };
}

/** Fewest left; of equally many the least cost. */
function lowest(family: readonly Tried[]): Tried {
  return family.reduce((best, own) =>
    own.finding.left < best.finding.left ||
    (own.finding.left === best.finding.left && own.finding.cost < best.finding.cost)
      ? own
      : best,
  );
}

/** Whole numbers where there are enough of them. */
function stepsBetween(from: number, to: number): number[] {
  const steps = Array.from({ length: FINER }, (_, i) => from + ((to - from) * (i + 1)) / (FINER + 1));
  const isWide = Math.abs(to - from) > FINER;
  return [...new Set(steps.map((value) => (isWide ? Math.round(value) : Number(value.toPrecision(3)))))];
}

const DETECTORS_OF: Readonly<Record<DecisionKind, readonly DetectorId[]>> = {
  press: ['guard'],
  closes: ['guard'],
  opens: ['guard'],
  deflection: ['deflection'],
  impact: ['impact'],
  stab: ['stab', 'impact'],
  twist: ['twist'],
  dialUp: ['twist'],
  dialDown: ['twist'],
};

/** Settings of a detector that decides alike explain nothing. */
function detectorsOf({ differences, lateUs }: Agreement): DetectorId[] {
  const kinds = new Set(differences.map(({ kind }) => kind));
  if (lateUs !== 0) kinds.add('closes');
  return [...new Set([...kinds].flatMap((kind) => DETECTORS_OF[kind]))];
}

/** What the bench sees fire, and the log never. */
function silentOf({ differences }: Agreement, { decisions: { fires } }: Logged): FireKind[] {
  const told = (kind: FireKind) =>
    fires !== null &&
    Object.entries(KIND_OF).some(
      ([name, own]) => own === kind && fires[name as keyof typeof KIND_OF]?.length,
    );
  const isMissed = (kind: FireKind) =>
    differences.some((own) => own.kind in KIND_OF && KIND_OF[own.kind as keyof typeof KIND_OF] === kind);
  return FIRE_KINDS.filter((kind) => isMissed(kind) && !told(kind));
}
