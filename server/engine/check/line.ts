/** What a line of the check says of the take. */
export type CheckState = 'pass' | 'caution' | 'fail';

export type CheckId =
  | 'rate'
  | 'clock'
  | 'gaps'
  | 'rows'
  | 'repeats'
  | 'channels'
  | 'clipping'
  | 'spikes'
  | 'swings'
  | 'bias'
  | 'noise'
  | 'restForce'
  | 'gravity'
  | 'lever'
  | 'spectrum'
  | 'hits';

/** One finding: a sentence with its figures, and what to do. */
export interface CheckLine {
  readonly id: CheckId;
  readonly name: string;
  readonly state: CheckState;
  readonly finding: string;
  /** Empty where there is nothing to do. */
  readonly advice: string;
  /** What of the take not to trust; null on a pass. */
  readonly distrust: string | null;
}

const NAMES: Readonly<Record<CheckId, string>> = {
  rate: 'Sample rate',
  clock: 'Clock',
  gaps: 'Gaps',
  rows: 'Rows read',
  repeats: 'Repeated samples',
  channels: 'Stuck channels',
  clipping: 'Clipping',
  spikes: 'Spikes',
  swings: 'Swings',
  bias: 'Gyro bias',
  noise: 'Noise at rest',
  restForce: 'Force at rest',
  gravity: 'Units and axes',
  lever: 'Lever arm and mount',
  spectrum: 'Spectrum',
  hits: 'Hits',
};

export function passes(id: CheckId, finding: string): CheckLine {
  return { id, name: NAMES[id], state: 'pass', finding, advice: '', distrust: null };
}

export function cautions(id: CheckId, finding: string, advice: string, distrust: string): CheckLine {
  return { id, name: NAMES[id], state: 'caution', finding, advice, distrust };
}

export function fails(id: CheckId, finding: string, advice: string, distrust: string): CheckLine {
  return { id, name: NAMES[id], state: 'fail', finding, advice, distrust };
}

/** What of a take not to trust, one thing or more, as a sentence: they hold commas, colons and reasons of their own. */
export function distrustText(distrust: readonly string[]): string {
  return `Do not trust${distrust.length === 1 ? '' : ':'} ${distrust.join(' · ')}.`;
}
