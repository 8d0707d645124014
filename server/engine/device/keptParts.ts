import type { Signals } from '../motion/signals.ts';
import type { Part } from './decisions.ts';

/** Of each part the first result and the last one, as long as the signals stay the same. */
export class KeptParts {
  private signals: Signals | null = null;
  private readonly kept = new Map<string, { readonly key: string; readonly value: unknown }[]>();

  of(signals: Signals): Part {
    if (signals !== this.signals) this.kept.clear();
    this.signals = signals;
    return <Value>(name: string, settings: unknown, compute: () => Value): Value => {
      const key = JSON.stringify(settings);
      const own = this.kept.get(name) ?? [];
      const found = own.find((one) => one.key === key);
      if (found) return found.value as Value;
      const value = compute();
      this.kept.set(name, [...own.slice(0, 1), { key, value }]);
      return value;
    };
  }
}
