import { samplesFromMs } from '../base/sampleCount.ts';
import type { ButtonRule } from './pressRule.ts';

/**
 * The power button as a prop follows it, a sample at a time: what `actWindows` and `judgePresses` say of a whole log. A
 * moment between two samples is judged by the one before it, as there.
 */
export class PowerButton {
  /** At the sample last stepped: a press begins, that is no bounce of another; one acts, or is refused for good. */
  begins = false;
  acts = false;
  refuses = false;
  private readonly rule: ButtonRule;
  /** In samples: a pause shorter than the first is a bounce, and it is known to be none after the second. */
  private readonly bounce: number;
  private readonly known: number;
  private readonly limit: number;
  /** A press counts as long from the first on; while the button is down that is sure at the second. */
  private readonly longFrom: number;
  private readonly longAt: number;
  /** Samples since the button went down, and, within the press, since it came up; -1 where it is not so. */
  private age = -1;
  private upFor = -1;
  private isDecided = false;

  constructor(rule: ButtonRule, rateHz: number) {
    this.rule = rule;
    const before = (ms: number) => Math.floor((ms * rateHz) / 1000 + 1e-9);
    this.bounce = samplesFromMs(rule.debounceMs, rateHz);
    this.known = before(rule.debounceMs);
    this.limit = before(rule.heldLimitMs);
    this.longFrom = samplesFromMs(rule.longFromMs, rateHz);
    this.longAt = before(rule.longFromMs);
  }

  step(isDown: boolean, isGuardClosed: boolean): void {
    this.begins = this.acts = this.refuses = false;
    if (this.age >= 0) this.goOn(isDown, isGuardClosed);
    if (this.age >= 0 || !isDown) return;
    this.begins = true;
    this.age = 0;
    this.upFor = -1;
    this.isDecided = false;
    this.decide(isGuardClosed, false);
  }

  /** A gap: what was going on is not known any more, and decides nothing. */
  reset(): void {
    this.isDecided = true;
  }

  private goOn(isDown: boolean, isGuardClosed: boolean): void {
    ++this.age;
    if (this.upFor >= 0) ++this.upFor;
    else if (!isDown) this.upFor = 0;
    if (isDown && this.upFor >= 0 && this.upFor < this.bounce) this.upFor = -1;
    const isOver = this.upFor >= 0 && this.upFor >= this.known;
    this.decide(isGuardClosed, isOver);
    if (isOver) this.age = -1;
  }

  private decide(isGuardClosed: boolean, isOver: boolean): void {
    if (this.isDecided) return;
    const fate = this.fateOf(isGuardClosed, isOver);
    if (fate === 'waits') return;
    this.isDecided = true;
    if (fate === 'acts') this.acts = true;
    else this.refuses = true;
  }

  private fateOf(isGuardClosed: boolean, isOver: boolean): 'acts' | 'refused' | 'waits' {
    const { decideAt, pressLength } = this.rule;
    const isLong = this.age >= (isOver ? this.longFrom : this.longAt);
    if (pressLength === 'long' && !isLong) return isOver ? 'refused' : 'waits';
    if (pressLength === 'short' && isOver && isLong) return 'refused';
    if (pressLength === 'short' || decideAt === 'release')
      return !isOver ? 'waits' : isGuardClosed ? 'refused' : 'acts';
    if (!isGuardClosed) return 'acts';
    const heldFor = this.age - (pressLength === 'long' ? this.longAt : 0);
    return decideAt === 'held' && !isOver && heldFor < this.limit ? 'waits' : 'refused';
  }
}
