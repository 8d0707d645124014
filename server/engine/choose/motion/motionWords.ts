import { many } from '../../base/counted.ts';
import { SWING_MIN_PEAK_DPS } from '../../truth/swings.ts';
import type { Side } from '../borders.ts';
import type { Part } from '../leaveOut.ts';
import { type BorderUnits, unfitText } from '../words.ts';
import type { Agreement, PressesWrong } from './agreement.ts';
import type { MotionEvidence } from './motionPart.ts';

/** What the answer rests on, before anything else is read. */
export function restsText(patienceMs: number): string {
  return `This rests on motion, not on presses: a stray press might come at any moment of a spin, a wanted one at any moment from ${patienceMs} ms after a stop on. A spin is open if the guard is open for more than 1 in 20 of its time, a stop late if the guard is closed at such a moment. Of a stray press outside every spin it knows nothing.`;
}

/** How many spins and stops are counted, and in which takes some are not. */
export function motionBasisText(evidence: readonly MotionEvidence[]): string {
  const fit = evidence.filter((take) => take.unfit === null);
  const labelled = fit.filter((take) => take.isConfirmed);
  const total = (what: 'spins' | 'stops') => labelled.reduce((sum, take) => sum + take[what], 0);
  const waiting = fit.filter(({ waiting: { spins, stops } }) => spins + stops > 0);
  const left = waiting.map(({ title, waiting: { spins, stops } }) => `${title} (${partsText(spins, stops)})`);
  const leftText =
    left.length === 0 ? '' : ` Proposed and not confirmed, so not counted: ${left.join('; ')}.`;
  return `Rests on ${partsText(total('spins'), total('stops'))} labelled in ${many(labelled.length, 'take', 'takes')}.${leftText}${unfitText(evidence)}`;
}

function partsText(spins: number, stops: number): string {
  return [
    ...(spins > 0 ? [many(spins, 'spin', 'spins')] : []),
    ...(stops > 0 ? [many(stops, 'stop', 'stops')] : []),
  ].join(' and ');
}

export const MOTION_BORDERS: BorderUnits = {
  strays: (count) => `${many(count, 'spin', 'spins')} would be open too long`,
  wanted: (count) => `${many(count, 'stop', 'stops')} would be late`,
  openEnd(side: Side, last: number): string {
    switch (side) {
      case 'lowerSpeed':
        return last < SWING_MIN_PEAK_DPS + 10
          ? `Below ${last} °/s is no swing, so nothing is suggested there. No stop here speaks against a speed as low as that; a brisk carry might.`
          : `Below ${last} °/s nothing was tried.`;
      case 'higherSpeed':
        return `Above ${last} °/s nothing was tried.`;
      case 'shorterHold':
        return 'Even without a hold it would do as well here: no spin needs one.';
      case 'longerHold':
        return `Above ${last} ms nothing was tried: no stop here tells how long the hold may be.`;
    }
  },
};

/** How the answer by motion and the presses get on, a sentence each; the first says whether they agree. */
export function agreementTexts(agreement: Agreement, patienceMs: number): string[] {
  const { byMotion, byPresses, leftOut, soon } = agreement;
  const all = byMotion.strays.n + byMotion.wanted.n;
  return [
    byPresses === null
      ? `By presses alone (${all} labelled) nothing is suggested. ${onPresses('This setting', byMotion)}`
      : besideText(byMotion, byPresses),
    ...(leftOut === null ? [] : [leftOutText(leftOut)]),
    ...(soon.n === 0 ? [] : [soonText(soon, patienceMs)]),
  ];
}

function besideText(byMotion: Agreement['byMotion'], byPresses: NonNullable<Agreement['byPresses']>): string {
  const apart = [
    difference(byMotion.speedDps - byPresses.speedDps, '°/s', 'faster', 'slower'),
    difference(byMotion.holdMs - byPresses.holdMs, 'ms', 'longer', 'shorter'),
  ].filter((text) => text !== null);
  const [own, its] = [wrongIn(byMotion), wrongIn(byPresses)];
  const verdict =
    own <= its
      ? 'They agree'
      : `They disagree on ${many(own - its, 'press', 'presses')}: believe the presses, for they are what the performer did`;
  return `By its presses alone the suggestion is ${byPresses.speedDps} °/s, hold ${byPresses.holdMs} ms${apart.length === 0 ? ', the same' : `; by motion it is ${apart.join(' and ')}`}. ${onPresses('By motion it', byMotion)} ${onPresses('By presses it', byPresses)} ${verdict}.`;
}

function difference(by: number, unit: string, more: string, less: string): string | null {
  return by === 0 ? null : `${Math.abs(by)} ${unit} ${by > 0 ? more : less}`;
}

function onPresses(what: string, wrong: PressesWrong): string {
  const parts = [
    ...(wrong.strays.n > 0 ? [`lets ${wrong.strays.k} of ${wrong.strays.n} stray presses through`] : []),
    ...(wrong.wanted.n > 0 ? [`refuses ${wrong.wanted.k} of ${wrong.wanted.n} wanted ones`] : []),
  ];
  return `${what} ${parts.join(' and ')}.`;
}

function leftOutText({ byMotion, byPresses }: NonNullable<Agreement['leftOut']>): string {
  const of = (wrong: PressesWrong) => `${wrongIn(wrong)} of ${wrong.strays.n + wrong.wanted.n}`;
  const other = byPresses === null ? '' : `, one chosen on their presses ${of(byPresses)}`;
  return `On the presses of a take left out, a setting chosen on the others’ motion gets ${of(byMotion)} wrong${other}.`;
}

function soonText({ k, n }: Part, patienceMs: number): string {
  return k === 0
    ? `None of the ${many(n, 'wanted press', 'wanted presses')} soon after a stop comes before ${patienceMs} ms.`
    : `${k} of the ${many(n, 'wanted press', 'wanted presses')} soon after a stop ${k === 1 ? 'comes' : 'come'} before ${patienceMs} ms: a shorter patience would fit better.`;
}

function wrongIn({ strays, wanted }: PressesWrong): number {
  return strays.k + wanted.k;
}
