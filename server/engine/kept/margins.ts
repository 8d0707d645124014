import type { SweptSetting } from '../choose/problem.ts';
import type { SettingMargin } from './keptSetting.ts';

/** All values along one axis that are tried and may be suggested, rising, with the setting's own among them. */
export function triedAlong(
  { values, least = -Infinity }: Pick<SweptSetting, 'values' | 'least'>,
  own: number,
): number[] {
  return [...new Set([...values.filter((value) => value >= least), own])].sort((a, b) => a - b);
}

/**
 * How far a value can change before more goes wrong than at the value itself.
 * @param tried  rising, `own` among them. @param wrong  how much goes wrong at each.
 */
export function marginOf(tried: readonly number[], wrong: readonly number[], own: number): SettingMargin {
  const at = tried.indexOf(own);
  const reach = (step: -1 | 1) => {
    let index = at;
    while (tried[index + step] !== undefined && wrong[index + step]! <= wrong[at]!) index += step;
    return { last: tried[index]!, worse: tried[index + step] ?? null };
  };
  const [below, above] = [reach(-1), reach(1)];
  return { low: below.last, high: above.last, worseBelow: below.worse, worseAbove: above.worse };
}
