import type { Agreement, PressesWrong } from '../../choose/motion/agreement.ts';
import type { KOfN } from '../../choose/problem.ts';
import { counted, plural } from '../count.ts';

/** What the answer rests on, before anything else is read. */
export function restsText(patienceMs: number): string {
  return `This rests on motion, not on presses: a stray press might come at any moment of a spin, a wanted one at any moment from ${patienceMs} ms after a stop on. A spin is open if the guard is open for more than 1 in 20 of its time, a stop late if the guard is closed at such a moment. Of a stray press outside every spin it knows nothing.`;
}

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
    difference(byMotion.x - byPresses.x, '°/s', 'faster', 'slower'),
    difference(byMotion.y - byPresses.y, 'ms', 'longer', 'shorter'),
  ].filter((text) => text !== null);
  const [own, its] = [wrongIn(byMotion), wrongIn(byPresses)];
  const verdict =
    own <= its
      ? 'They agree'
      : `They disagree on ${counted(own - its, 'press', 'presses')}: believe the presses, for they are what the performer did`;
  return `By its presses alone the suggestion is ${byPresses.x} °/s, hold ${byPresses.y} ms${apart.length === 0 ? ', the same' : `; by motion it is ${apart.join(' and ')}`}. ${onPresses('By motion it', byMotion)} ${onPresses('By presses it', byPresses)} ${verdict}.`;
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

function soonText({ k, n }: KOfN, patienceMs: number): string {
  return k === 0
    ? `None of the ${counted(n, 'wanted press', 'wanted presses')} soon after a stop comes before ${patienceMs} ms.`
    : `${k} of the ${counted(n, 'wanted press', 'wanted presses')} soon after a stop ${plural(k, 'comes', 'come')} before ${patienceMs} ms: a shorter patience would fit better.`;
}

function wrongIn({ strays, wanted }: PressesWrong): number {
  return strays.k + wanted.k;
}
