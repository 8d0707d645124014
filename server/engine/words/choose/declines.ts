import { type Decline, LEAST_EVENTS } from '../../choose/decline.ts';
import type { GestureMapKind } from '../../choose/gestures/maps.ts';
import type { MotionEvidence } from '../../choose/motion/motionProblem.ts';
import type { Evidence, KOfN } from '../../choose/problem.ts';
import { counted, plural } from '../count.ts';
import { GESTURE_NAMES } from './problems.ts';
import { seconds } from './suggestion.ts';
import { unfitText } from './unfit.ts';

/** Why nothing is suggested, and what to do about it, a sentence each. */
export interface DeclineWords {
  readonly text: string;
  readonly advice: readonly string[];
}

/** What to do where performers differ too much for one setting. */
export const ONE_AT_A_TIME =
  'Look at one performer’s takes at a time: a gentle swing of one may be slower than the pauses of another.';

export function declineWords(decline: Decline): DeclineWords {
  const { kind, problem } = decline;
  if (kind === 'oneGroup') return { text: 'There is one group only: nothing is shared.', advice: [] };
  if (kind === 'unfit') return unfit(decline.takes);
  switch (problem) {
    case 'guard':
      return guard(decline);
    case 'motion':
      return motion(decline);
    case 'deflection':
      return deflection(decline);
    default:
      return gesture(decline, problem);
  }
}

/** Whether the takes that count are of more than one performer. */
export function areOfSeveral(evidence: readonly Pick<Evidence, 'performer' | 'unfit'>[]): boolean {
  return new Set(evidence.filter(({ unfit }) => unfit === null).map(({ performer }) => performer)).size > 1;
}

function unfit(takes: readonly Evidence[]): DeclineWords {
  const text =
    takes.length === 0
      ? 'No take is chosen.'
      : takes.length === 1
        ? 'Nothing can be chosen on this take.'
        : `Nothing can be chosen on any of the ${takes.length} takes.`;
  return {
    text,
    advice: takes.flatMap(({ title, unfit: why }) => (why ? [`${title}: ${unfitText(why)}.`] : [])),
  };
}

/** A sentence for each take whose labels contradict one another. */
function decideOn(takes: readonly Evidence[], one: string, several: string): string[] {
  return takes.flatMap(({ title, contradictionsUs = [], unfit: why }) =>
    why !== null || contradictionsUs.length === 0
      ? []
      : [
          `${title}: decide on the ${plural(contradictionsUs.length, one, several)} at ${contradictionsUs.map(seconds).join(', ')}.`,
        ],
  );
}

function contradictionsIn(takes: readonly Evidence[]): number {
  const fit = takes.filter(({ unfit: why }) => why === null);
  return fit.reduce((sum, { contradictionsUs = [] }) => sum + contradictionsUs.length, 0);
}

/** More of what there is too little of, one sentence. */
function recordMore(have: number, one: string, several: string): string {
  return `Record ${counted(LEAST_EVENTS - have, `more ${one}`, `more ${several}`)} or more.`;
}

const RECORD_STRAYS =
  'Spin as you do on stage, with the blade’s light off, and press the power button now and then in mid-spin, some right at the top of a swing; label those presses stray.';
const RECORD_WANTED =
  'Stop as you do on stage and press the power button as you then would, soon after the stop; label those presses wanted.';

function guard({ kind, have, takes, best }: Decline): DeclineWords {
  const { strays = 0, wanted = 0, unlabelled = 0, unjudged = 0 } = have;
  switch (kind) {
    case 'noLabels':
      return {
        text: `None of the ${counted(unlabelled, 'press', 'presses')} says whether it was wanted.`,
        advice: ['Open Tune, walk through the presses with N and P, and label them: W wanted, S stray.'],
      };
    case 'noPresses':
      return unjudged === 0
        ? {
            text: 'There is no press of the power button to judge a setting by.',
            advice: [RECORD_STRAYS, RECORD_WANTED],
          }
        : {
            text: `${counted(unjudged, 'press has', 'presses have')} no motion data at the moment that is judged.`,
            advice: ['Judge the press when the button goes down, or record again without gaps.'],
          };
    case 'contradictory':
      return best === null
        ? {
            text: `${counted(contradictionsIn(takes), 'press is', 'presses are')} labelled both wanted and stray.`,
            advice: decideOn(takes, 'press', 'presses'),
          }
        : contradictoryPresses(best['strays']!, best['wanted']!);
    case 'oneClass': {
      const [word, trivial] =
        strays > 0 ? ['stray', 'a guard that never opens'] : ['wanted', 'no guard at all'];
      return {
        text: `All ${counted(strays + wanted, 'labelled press is', 'labelled presses are')} ${word}: ${trivial} would get them right.`,
        advice: [strays > 0 ? RECORD_WANTED : RECORD_STRAYS],
      };
    }
    default:
      return {
        text: `${counted(strays, 'stray press', 'stray presses')} and ${counted(wanted, 'wanted one')} are too few to tell settings apart: it takes ${LEAST_EVENTS} of each.`,
        advice: [
          ...(unlabelled > 0
            ? [`Label ${counted(unlabelled, 'press that has', 'presses that have')} no label yet.`]
            : []),
          ...(strays < LEAST_EVENTS
            ? [`${recordMore(strays, 'stray press', 'stray presses')} ${RECORD_STRAYS}`]
            : []),
          ...(wanted < LEAST_EVENTS
            ? [`${recordMore(wanted, 'wanted press', 'wanted presses')} ${RECORD_WANTED}`]
            : []),
        ],
      };
  }
}

function contradictoryPresses(strays: KOfN, wanted: KOfN): DeclineWords {
  return {
    text: `The labels contradict one another: the best of all settings still lets ${strays.k} of ${strays.n} stray presses through and refuses ${wanted.k} of ${wanted.n} wanted ones.`,
    advice: [
      'Check the labels: a press in mid-swing can hardly have been wanted, nor one long after a stop stray.',
      'If they are right, no speed guard can tell these presses apart: wait longer after a stop, or judge the other moment of the press.',
    ],
  };
}

const RECORD_SPINS =
  'Spin as you do on stage, slow and fast, and come to a full stop of a second or more after each spin.';

function motion({ kind, have, takes, best }: Decline): DeclineWords {
  const { spins = 0, stops = 0, waitingSpins = 0, waitingStops = 0 } = have;
  const fit = (takes as readonly MotionEvidence[]).filter(({ unfit: why }) => why === null);
  switch (kind) {
    case 'noMotion':
      return { text: 'There is no spin here, and no stop after a swing.', advice: [RECORD_SPINS] };
    case 'unconfirmed':
      return {
        text: `The program proposes ${counted(waitingSpins, 'spin')} and ${counted(waitingStops, 'stop')} here. Nobody has confirmed any of them, so the map may be looked at, but nothing is suggested.`,
        advice: confirmMotion(fit),
      };
    case 'noneGood': {
      const { strays, wanted } = best as Readonly<Record<'strays' | 'wanted', KOfN>>;
      return {
        text: `No speed guard fits this motion: the best of all settings still leaves ${strays.k} of ${counted(strays.n, 'spin')} open for more than 1 in 20 of the time, and is still closed when a press is wanted after ${wanted.k} of ${counted(wanted.n, 'stop')}.`,
        advice: [
          'Look at the spins’ labels: one that begins before the blade moves, or ends after its stop, can never be guarded throughout.',
          'If they are right, ask for more patience after a stop, or look at one performer at a time.',
        ],
      };
    }
    default:
      return {
        text: `${counted(spins, 'confirmed spin')} and ${counted(stops, 'confirmed stop')} are too few to tell settings apart: it takes ${LEAST_EVENTS} of each.`,
        advice: [
          ...confirmMotion(fit),
          ...(spins < LEAST_EVENTS ? [`${recordMore(spins, 'spin', 'spins')} ${RECORD_SPINS}`] : []),
          ...(stops < LEAST_EVENTS
            ? [
                `Record ${counted(LEAST_EVENTS - stops, 'more stop', 'more stops')} or more: hold the blade for a second or more after a swing or spin.`,
              ]
            : []),
        ],
      };
  }
}

/** A sentence for each take with something to confirm. */
function confirmMotion(takes: readonly MotionEvidence[]): string[] {
  return takes.flatMap(({ title, waitingSpins: spins, waitingStops: stops }) => {
    if (spins + stops === 0) return [];
    const what = [
      ...(spins > 0 ? [counted(spins, 'proposed spin')] : []),
      ...(stops > 0 ? [counted(stops, 'proposed stop')] : []),
    ];
    const how = spins > 0 ? 'confirm spins and swings there' : 'confirm its swings there';
    return [`${title}: ${what.join(' and ')}. Open it in Tune, look through them under Labels, and ${how}.`];
  });
}

const RECORD_SWINGS = 'Record single swings with a full stop between, slow ones and fast ones.';

function deflection({ kind, have, takes, best }: Decline): DeclineWords {
  const { swings = 0, unwanted = 0 } = have;
  const up =
    unwanted === 0
      ? ''
      : ` ${counted(unwanted, 'more swing', 'more swings')} with the deflection button up ${plural(unwanted, 'counts', 'count')} for nothing.`;
  switch (kind) {
    case 'noSwings':
      if (unwanted > 0)
        return {
          text: `The deflection button was up in ${unwanted === 1 ? 'the one swing' : `all ${unwanted} swings`}: no deflection was wanted.`,
          advice: ['Record swings with the button held, as you do on stage, or have deflections always on.'],
        };
      return {
        text: `There is no swing in ${takes.length === 1 ? 'this take' : 'these takes'}.`,
        advice: [RECORD_SWINGS],
      };
    case 'contradictory':
      return {
        text: `${counted(contradictionsIn(takes), 'labelled swing lies', 'labelled swings lie')} where the labels say that the blade is still, or that there is none.`,
        advice: decideOn(takes, 'swing', 'swings'),
      };
    case 'noneGood': {
      const { missed, twice, outside } = best as Readonly<Record<'missed' | 'twice' | 'outside', KOfN>>;
      return {
        text: `No setting does well: the best of all still misses ${missed.k} of ${missed.n} swings, fires twice or more in ${twice.k}, and ${counted(outside.k, 'time')} outside any swing.${up}`,
        advice: [
          ...(areOfSeveral(takes) ? [ONE_AT_A_TIME] : []),
          'Check the swings in Tune: confirm those that should deflect, and say of the others that they are none.',
          'The rest time and the confirmation of the candidate under edit hold for the whole map: try others.',
        ],
      };
    }
    default:
      return {
        text: `${counted(swings, 'swing is', 'swings are')} too few to tell settings apart: it takes ${LEAST_EVENTS}.${up}`,
        advice: [recordMore(swings, 'swing', 'swings'), RECORD_SWINGS],
      };
  }
}

function gesture({ kind, have, takes, best }: Decline, map: GestureMapKind): DeclineWords {
  const { one, several, fire, record } = GESTURE_NAMES[map];
  const { gestures = 0, others = 0, unconfirmed = 0, proposed = 0 } = have;
  const fit = takes.filter(({ unfit: why }) => why === null);
  const toConfirm = unconfirmed + proposed;
  const confirm =
    toConfirm === 0
      ? []
      : [
          `Open Tune and look at ${counted(toConfirm, `${one} that is`, `${several} that are`)} proposed there: confirm those that are real.`,
        ];
  switch (kind) {
    case 'noLabels':
      return {
        text: `No ${one} is labelled in ${fit.length === 1 ? 'this take' : 'these takes'}.`,
        advice: confirm.length > 0 ? confirm : [record],
      };
    case 'contradictory':
      return {
        text: `${counted(contradictionsIn(takes), `labelled ${one} lies`, `labelled ${several} lie`)} where the labels say that the blade is still.`,
        advice: decideOn(takes, one, several),
      };
    case 'oneClass':
      return {
        text: `Beside ${counted(gestures, `labelled ${one}`, `labelled ${several}`)} there ${plural(others, 'is', 'are')} ${counted(others, 'other movement')} to tell them from, and it takes ${LEAST_EVENTS}: a ${fire} that fires at anything would do nearly as well.`,
        advice: [
          `Only takes with a labelled ${one} tell what is none: in others nobody has said that a ${fire} would be false.`,
          record,
        ],
      };
    case 'noneGood': {
      const { missed, again, outside } = best as Readonly<Record<'missed' | 'again' | 'outside', KOfN>>;
      const telling = (fit as readonly (Evidence & { readonly gestures?: number })[]).filter(
        (take) => take.gestures !== 0,
      );
      return {
        text: `No setting does well: the best of all still misses ${missed.k} of ${counted(missed.n, one, several)}, fires again in ${again.k}, and ${counted(outside.k, 'time')} outside any.`,
        advice: [
          `Check the labels in Tune: has every ${one} one, and is every one of them really a ${one}?`,
          ...(areOfSeveral(telling)
            ? ['Look at one performer’s takes at a time: what is gentle for one may be nothing for another.']
            : []),
          `The ${fire}’s other settings, and the smoothing, of the candidate under edit hold for the whole map: try others.`,
        ],
      };
    }
    default:
      return {
        text: `${counted(gestures, `labelled ${one} is`, `labelled ${several} are`)} too few to tell settings apart: it takes ${LEAST_EVENTS}.`,
        advice: [...confirm, recordMore(gestures, one, several), record],
      };
  }
}
