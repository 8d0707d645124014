import type { CheckId, CheckLine, CheckVerdict, SignalCheck } from '../../check/checkSignals.ts';
import { plural } from '../count.ts';
import { gravityWords } from './gravity.ts';
import type { LineWords } from './lineWords.ts';
import {
  channelsWords,
  clippingWords,
  clockWords,
  gapsWords,
  hitsWords,
  rateWords,
  repeatsWords,
  rowsWords,
  spectrumWords,
  spikesWords,
  swingsWords,
} from './recording.ts';
import { biasWords, leverWords, noiseWords, restForceWords } from './rest.ts';

/** A line of the check as page and command line show it. */
export interface WordedLine {
  readonly id: CheckId;
  readonly name: string;
  readonly state: CheckLine['state'];
  readonly finding: string;
  /** Empty where there is nothing to do. */
  readonly advice: string;
  /** What not to trust in the take; null on a pass. */
  readonly distrust: string | null;
}

export interface WordedCheck {
  /** The verdict in a sentence, with what to distrust. */
  readonly headline: string;
  /** What not to trust in the take, each thing once. */
  readonly distrust: readonly string[];
  readonly lines: readonly WordedLine[];
}

export const VERDICT_WORDS: Readonly<Record<CheckVerdict, string>> = {
  fit: 'Signals fit',
  care: 'Signals fit, with care',
  unfit: 'Signals not fit to tune on',
};

type WordsOf<Id extends CheckId> = (line: Extract<CheckLine, { id: Id }>) => LineWords;

const LINES: { readonly [Id in CheckId]: readonly [name: string, wordsOf: WordsOf<Id>] } = {
  rate: ['Sample rate', rateWords],
  clock: ['Clock', clockWords],
  gaps: ['Gaps', gapsWords],
  rows: ['Rows read', rowsWords],
  repeats: ['Repeated samples', repeatsWords],
  channels: ['Stuck channels', channelsWords],
  clipping: ['Clipping', clippingWords],
  spikes: ['Spikes', spikesWords],
  swings: ['Swings', swingsWords],
  bias: ['Gyro bias', biasWords],
  noise: ['Noise at rest', noiseWords],
  restForce: ['Force at rest', restForceWords],
  gravity: ['Units and axes', gravityWords],
  lever: ['Lever arm and mount', leverWords],
  spectrum: ['Spectrum', spectrumWords],
  hits: ['Hits', hitsWords],
};

export function lineName(id: CheckId): string {
  return LINES[id][0];
}

export function wordedLine(line: CheckLine): WordedLine {
  const { id, state } = line;
  const [name, wordsOf] = LINES[id];
  // The table pairs each id with the words of its own line, which the union of all lines does not show.
  const [finding, advice, distrust] = (wordsOf as (line: CheckLine) => LineWords)(line);
  return state === 'pass'
    ? { id, name, state, finding, advice: '', distrust: null }
    : { id, name, state, finding, advice, distrust };
}

export function wordedCheck({ verdict, lines: found }: Pick<SignalCheck, 'verdict' | 'lines'>): WordedCheck {
  const lines = found.map(wordedLine);
  const distrust = [...new Set(lines.flatMap((line) => line.distrust ?? []))];
  const words = VERDICT_WORDS[verdict];
  const failed = lines.filter(({ state }) => state === 'fail').map(({ name }) => name.toLowerCase());
  const headline =
    verdict === 'unfit'
      ? `${words}: ${failed.join(', ')}.`
      : distrust.length === 0
        ? `${words}.`
        : `${words}. ${distrustText(distrust)}`;
  return { headline, distrust, lines };
}

/** A sentence about what not to trust; the parts hold commas and colons of their own, so dots separate them. */
export function distrustText(distrust: readonly string[]): string {
  return `Do not trust${plural(distrust.length, '', ':')} ${distrust.join(' · ')}.`;
}
