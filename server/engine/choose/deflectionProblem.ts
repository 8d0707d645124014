import { sampleRanges } from '../base/sampleRanges.ts';
import type { DeflectionSettings } from '../detect/deflection.ts';
import { runDeflection } from '../detect/deflection.ts';
import { type SwitchedOn, whenSwitchedOn } from '../detect/deflectionButton.ts';
import { type MissReason, missReasons } from '../explain/missedSwings.ts';
import { labelDoubts } from '../labels/labelDoubts.ts';
import type { LabelBy } from '../labels/labels.ts';
import { FireAssignment } from '../score/fireAssignment.ts';
import { wantedSwings } from '../score/wantedSwings.ts';
import { type DeflectionGrid, type DeflectionPart, sweepDeflection } from '../sweep/deflectionSweep.ts';
import { type Axes, sumGrids } from '../sweep/grid.ts';
import type { Swing } from '../truth/swings.ts';
import { errorsInSteps, LEAST_SPEED_DPS } from './cost.ts';
import { areContradictory, LEAST_EVENTS } from './decline.ts';
import type { RatedTake } from './guardProblem.ts';
import type { Evidence, Judged, Problem } from './problem.ts';
import { RATE_STRESSES, signalsUnder } from './stressRates.ts';
import { type ChoiceTake, GUARD_AXES, spaced } from './takeSweep.ts';
import { unfitOf } from './unfit.ts';

/** What a take's swings are worth for choosing a deflection. */
export interface SwingEvidence extends Evidence {
  /** Those in which a deflection is wanted, see `wantedSwings`. */
  readonly swings: number;
  /** Swings with the deflection's button up all through. */
  readonly unwanted: number;
  readonly by: Readonly<Record<LabelBy, number>>;
  /** Time outside any swing with deflections on: only there can a fire belong to none. */
  readonly outsideS: number;
  /** Peaks of labelled swings that the same kind of labeller says lie in stillness, or are none. */
  readonly contradictionsUs: readonly number[];
}

/** The settings that the page tries. */
const DEFLECTION_AXES: Axes = { xs: GUARD_AXES.xs, ys: spaced(0.1, 1, 0.05) };

/** The deflection's speed and rearm ratio, by swings; those that nobody has confirmed count too, and are told of. */
export const DEFLECTION: Problem<
  DeflectionPart,
  DeflectionGrid,
  DeflectionSettings,
  RatedTake,
  SwingEvidence,
  MissReason
> = {
  kind: 'deflection',
  group: 'deflection',
  x: { field: 'speedDps', values: DEFLECTION_AXES.xs, step: 1, least: LEAST_SPEED_DPS },
  y: { field: 'rearmRatio', values: DEFLECTION_AXES.ys, step: 0.01 },
  // How much was looked at for fires outside tells best by the swings, too.
  sizeOf: { missed: 'swings', twice: 'swings', outside: 'swings' },
  errors: [['missed', 'twice', 'outside']],
  steps: [],
  heldOut: ['missed', 'twice', 'outside'],
  needs: ['swings'],
  // A re-arm ratio is no better for being low: where several leave as much room, the middle one.
  better: 'middle',
  // No ratio is above 1, and none near 0 is allowed: both ends are the setting's own.
  ends: { x: 'unknown', y: 'limit' },
  cost: (grid, slack) => errorsInSteps(DEFLECTION, grid, slack),
  sum: sumGrids,
  stresses: RATE_STRESSES,
  at: (base, speedDps, rearmRatio) => ({ ...base, speedDps, rearmRatio }),
  evidence: swingEvidenceOf,
  sweep: ({ signals, truth: { swings } }, base, _evidence, axes = DEFLECTION_AXES) =>
    sweepDeflection({ signals, swings, base, ...axes }),
  rank: ({ unfit }) => (unfit === null ? 0 : null),
  decline({ swings = 0 }, fit) {
    if (swings === 0) return 'noSwings';
    if (areContradictory(fit)) return 'contradictory';
    return swings < LEAST_EVENTS ? 'tooFew' : null;
  },
  judge({ truth }, base, signals) {
    const on = whenSwitchedOn(signals, base);
    if (on === 'unknown')
      return truth.swings.map(({ peakUs }) => ({ what: 'unit', atUs: peakUs, wrong: undefined }));
    const swings = wantedSwings(signals, truth.swings, on);
    const fires = runDeflection(signals, base) ?? [];
    const fireUs = Float64Array.from(fires, (index) => signals.timeUs[index]!);
    const assignment = new FireAssignment(swings);
    assignment.assign(fireUs);
    const { counts } = assignment;
    const judged: Judged<DeflectionPart>[] = swings.map(({ peakUs }, i) => ({
      what: 'unit',
      atUs: peakUs,
      wrong: counts[i] === 1 ? null : counts[i] === 0 ? 'missed' : 'twice',
    }));
    for (const atUs of fireUs)
      if (!assignment.isInside(atUs)) judged.push({ what: 'fire', atUs, wrong: 'outside' });
    return judged.sort((a, b) => a.atUs - b.atUs);
  },
  explain({ signals, truth: { swings } }, base, wrong) {
    const missedUs = new Set(wrong.flatMap(({ part, atUs }) => (part === 'missed' ? [atUs] : [])));
    const missed = swings.filter(({ peakUs }) => missedUs.has(peakUs));
    const reasons = new Map(
      missReasons(signals, missed, base).map((reason, i) => [missed[i]!.peakUs, reason]),
    );
    return wrong.map(({ part, atUs }) => (part === 'missed' ? (reasons.get(atUs) ?? null) : null));
  },
  under: signalsUnder,
};

/** What a take's swings are worth; see `SwingEvidence`. */
export function swingEvidenceOf(take: ChoiceTake, settings: DeflectionSettings): SwingEvidence {
  const { id, title, performer, signals, labels, truth } = take;
  const by = { person: 0, program: 0, simulation: 0 };
  const on = whenSwitchedOn(signals, settings);
  const swings = on === 'unknown' ? [] : wantedSwings(signals, truth.swings, on);
  for (const swing of swings) ++by[swing.by];
  return {
    id,
    title,
    performer,
    swings: swings.length,
    unwanted: on === 'unknown' ? 0 : truth.swings.length - swings.length,
    by,
    outsideS: samplesOutside(signals.timeUs, truth.swings, on) / signals.rateHz,
    contradictionsUs: labelDoubts(labels).flatMap(({ kind, atUs }) => (kind === 'swingDenied' ? [atUs] : [])),
    unfit: unfitOf(take) ?? (on === 'unknown' ? { kind: 'noButton' } : null),
  };
}

function samplesOutside(timeUs: Float64Array, swings: readonly Swing[], on: SwitchedOn): number {
  const countOn = (start: number, end: number) =>
    typeof on === 'string' ? end - start : on.subarray(start, end).reduce((sum, one) => sum + one, 0);
  const inside = sampleRanges(timeUs, swings).reduce((sum, { start, end }) => sum + countOn(start, end), 0);
  return countOn(0, timeUs.length) - inside;
}
