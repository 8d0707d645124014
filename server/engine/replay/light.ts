import type { Span } from '../base/log.ts';
import type { PressVerdict } from '../detect/presses.ts';
import { type Intent, intentOf, type Labels } from '../labels/labels.ts';

/** *Wrongly dark*: dark by a stray press that was let through, or because a wanted one was refused. */
export type LightState = 'lit' | 'dark' | 'wronglyDark' | 'unknown';

export interface LightSpan extends Span {
  readonly state: LightState;
}

export interface LightInput {
  readonly durationUs: number;
  /** Presses of the power button, as one candidate's guard judged them. */
  readonly verdicts: readonly PressVerdict[];
  readonly labels: Pick<Labels, 'presses'>;
  /** Moments at which the blade was in use: peaks of swings, middles of gestures. In any order. */
  readonly movesUs: readonly number[];
}

interface JudgedPress {
  readonly atUs: number;
  readonly accepted: boolean | null;
  readonly intent: Intent | null;
}

/**
 * Whether the blade would have been lit, over a take, from 0 to its end without a break. A log does not tell, so this is a
 * model, and a plain one:
 *
 * - A press that is refused changes nothing; one that could not be judged leaves the light unknown until a wanted press
 *   is let through.
 * - A stray or unlabelled press that is let through turns a lit blade dark and lights a dark one.
 * - A wanted press that is let through does what was meant by it. The blade was meant to be lit from one wanted press to
 *   the next if it swung there, or made a gesture; else it was meant to be dark.
 * - Before the first press it is as it was meant to be; where no press is labelled, lit if it swung by then; where there is
 *   no press at all, lit.
 */
export function lightOver({ durationUs, verdicts, labels, movesUs }: LightInput): LightSpan[] {
  const presses = verdicts
    .filter(isPress)
    .map(({ press, decidedUs, accepted }): JudgedPress => {
      const intent = intentOf(labels, press)?.intent ?? null;
      return { atUs: decidedUs ?? press.downUs, accepted, intent };
    })
    .sort((a, b) => a.atUs - b.atUs);
  const wantedUs = presses.filter(({ intent }) => intent === 'wanted').map(({ atUs }) => atUs);
  const isMeantLit = (fromUs: number): boolean => {
    const toUs = wantedUs.find((us) => us > fromUs) ?? Number.POSITIVE_INFINITY;
    return movesUs.some((us) => us >= fromUs && us < toUs);
  };
  const isLabelled = presses.some(({ intent }) => intent === 'wanted' || intent === 'stray');
  const startsLit = isLabelled ? isMeantLit(0) : startsInUse(presses[0]?.atUs, movesUs);
  const line = new LightLine(startsLit, isMeantLit(0), isLabelled);
  for (const press of presses) {
    if (press.intent === 'wanted') line.isMeantLit = isMeantLit(press.atUs);
    line.take(press);
  }
  return line.until(durationUs);
}

/** Whether it is a press of its own, and no bounce of the one before. */
export function isPress({ unknown }: Pick<PressVerdict, 'unknown'>): boolean {
  return unknown !== 'bounce';
}

/** How long the light was in a state, within the spans of it. */
export function timeIn(spans: readonly LightSpan[], state: LightState): number {
  return spans.reduce((sum, span) => sum + (span.state === state ? span.endUs - span.startUs : 0), 0);
}

/** The state at a moment of the take. */
export function lightAt(spans: readonly LightSpan[], tUs: number): LightState {
  return (spans.find(({ endUs }) => tUs < endUs) ?? spans.at(-1))?.state ?? 'unknown';
}

function startsInUse(firstUs: number | undefined, movesUs: readonly number[]): boolean {
  return firstUs === undefined || movesUs.some((us) => us < firstUs);
}

class LightLine {
  isMeantLit: boolean;
  /** null where it is not known. */
  private isLit: boolean | null;
  /** A blade that an unlabelled press turned dark may have been meant to be: that is not said to be wrong. */
  private isJudged: boolean;
  private readonly spans: LightSpan[] = [];
  private sinceUs = 0;
  private state: LightState;

  constructor(isLit: boolean, isMeantLit: boolean, isJudged: boolean) {
    this.isLit = isLit;
    this.isJudged = isJudged;
    this.isMeantLit = isMeantLit;
    this.state = this.now();
  }

  take({ atUs, accepted, intent }: JudgedPress): void {
    if (intent === 'wanted') this.isJudged = true;
    if (accepted === null) this.isLit = null;
    else if (accepted && intent === 'wanted') this.isLit = this.isMeantLit;
    else if (accepted && this.isLit !== null) {
      this.isJudged = intent === 'stray' && this.isJudged;
      this.isLit = !this.isLit;
    }
    this.goTo(this.now(), atUs);
  }

  until(endUs: number): LightSpan[] {
    this.close(endUs);
    return this.spans;
  }

  private now(): LightState {
    if (this.isLit === null) return 'unknown';
    if (this.isLit) return 'lit';
    return this.isMeantLit && this.isJudged ? 'wronglyDark' : 'dark';
  }

  private goTo(state: LightState, atUs: number): void {
    if (state === this.state) return;
    this.close(atUs);
    this.state = state;
    this.sinceUs = atUs;
  }

  private close(endUs: number): void {
    if (endUs > this.sinceUs) this.spans.push({ state: this.state, startUs: this.sinceUs, endUs });
  }
}
