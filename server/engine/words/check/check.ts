import type { CheckId, CheckLine, SignalCheck, Verdict } from '../../check/checkSignals.ts';
import { plural } from '../count.ts';
import { tellGravity } from './gravity.ts';
import {
  tellChannels,
  tellClipping,
  tellClock,
  tellGaps,
  tellHits,
  tellRate,
  tellRepeats,
  tellRows,
  tellSpectrum,
  tellSpikes,
  tellSwings,
} from './recording.ts';
import { tellBias, tellLever, tellNoise, tellRestForce } from './rest.ts';
import type { Told } from './told.ts';

/** A line of the check as page and command line show it. */
export interface ToldLine {
  readonly id: CheckId;
  readonly name: string;
  readonly state: CheckLine['state'];
  readonly finding: string;
  /** Empty where there is nothing to do. */
  readonly advice: string;
  /** What of the take not to trust; null on a pass. */
  readonly distrust: string | null;
}

export interface ToldCheck {
  /** The verdict in a sentence, with what to distrust. */
  readonly headline: string;
  /** What of the take not to trust, each once. */
  readonly distrust: readonly string[];
  readonly lines: readonly ToldLine[];
}

export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  fit: 'Signals fit',
  care: 'Signals fit, with care',
  unfit: 'Signals not fit to tune on',
};

type Teller<Id extends CheckId> = (line: Extract<CheckLine, { id: Id }>) => Told;

const LINES: { readonly [Id in CheckId]: readonly [name: string, tell: Teller<Id>] } = {
  rate: ['Sample rate', tellRate],
  clock: ['Clock', tellClock],
  gaps: ['Gaps', tellGaps],
  rows: ['Rows read', tellRows],
  repeats: ['Repeated samples', tellRepeats],
  channels: ['Stuck channels', tellChannels],
  clipping: ['Clipping', tellClipping],
  spikes: ['Spikes', tellSpikes],
  swings: ['Swings', tellSwings],
  bias: ['Gyro bias', tellBias],
  noise: ['Noise at rest', tellNoise],
  restForce: ['Force at rest', tellRestForce],
  gravity: ['Units and axes', tellGravity],
  lever: ['Lever arm and mount', tellLever],
  spectrum: ['Spectrum', tellSpectrum],
  hits: ['Hits', tellHits],
};

export function lineName(id: CheckId): string {
  return LINES[id][0];
}

export function tellLine(line: CheckLine): ToldLine {
  const { id, state } = line;
  const [name, tell] = LINES[id];
  // The table pairs each id with the teller of its own line, which the union of all tellers does not show.
  const [finding, advice, distrust] = (tell as (line: CheckLine) => Told)(line);
  return state === 'pass'
    ? { id, name, state, finding, advice: '', distrust: null }
    : { id, name, state, finding, advice, distrust };
}

export function tellCheck({ verdict, lines: found }: Pick<SignalCheck, 'verdict' | 'lines'>): ToldCheck {
  const lines = found.map(tellLine);
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

/** What of a take not to trust, one thing or more, as a sentence: they hold commas, colons and reasons of their own. */
export function distrustText(distrust: readonly string[]): string {
  return `Do not trust${plural(distrust.length, '', ':')} ${distrust.join(' · ')}.`;
}
