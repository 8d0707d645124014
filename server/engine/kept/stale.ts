import { performerKey } from '../choose/leftOut.ts';
import type { KeptSetting } from './keptSetting.ts';

/** A take of the workspace as it is now. */
export interface TakeNow {
  readonly id: string;
  readonly title: string;
  readonly performer: string;
  readonly prop: string;
  /** See `basisFingerprint`. */
  readonly fingerprint: string;
}

/** What has changed since a setting was judged. */
export type Change =
  | { readonly kind: 'unjudged' }
  /** Judged by another version of the program. */
  | { readonly kind: 'program'; readonly version: string }
  /** Takes by title: labelled or calibrated anew, no longer there, or new. */
  | { readonly kind: 'changed' | 'gone' | 'added'; readonly titles: readonly string[] };

/** The takes that a setting is judged on: of its performers and its prop, where it names them. */
export function takesFor<Take extends Pick<TakeNow, 'performer' | 'prop'>>(
  { performers, prop }: Pick<KeptSetting, 'performers' | 'prop'>,
  takes: readonly Take[],
): readonly Take[] {
  const keys = performers.map(performerKey);
  return takes.filter(
    (take) =>
      (keys.length === 0 || keys.includes(performerKey(take.performer))) &&
      (prop === '' || take.prop === '' || performerKey(prop) === performerKey(take.prop)),
  );
}

/** @param takes  all of the workspace. @param program  its version now. */
export function changesSince(setting: KeptSetting, takes: readonly TakeNow[], program: string): Change[] {
  const { evidence } = setting;
  if (evidence === null) return [{ kind: 'unjudged' }];
  const judged = new Map(evidence.takes.map((take) => [take.id, take]));
  const now = takesFor(setting, takes);
  const ids = new Set(now.map(({ id }) => id));
  const titles = (of: readonly { readonly title: string }[]) => of.map(({ title }) => title);
  const groups = {
    changed: titles(
      now.filter(({ id, fingerprint }) => (judged.get(id)?.fingerprint ?? fingerprint) !== fingerprint),
    ),
    gone: titles(evidence.takes.filter(({ id }) => !ids.has(id))),
    added: titles(now.filter(({ id }) => !judged.has(id))),
  };
  return [
    ...(evidence.program === program ? [] : [{ kind: 'program' as const, version: evidence.program }]),
    ...(['changed', 'gone', 'added'] as const).flatMap((kind) =>
      groups[kind].length === 0 ? [] : [{ kind, titles: groups[kind] }],
    ),
  ];
}

/**
 * The setting of a take's performer: one that names the performer, and the take's prop or none; of several the one for the
 * prop, then the one kept last. null where there is none.
 */
export function settingFor<Setting extends KeptSetting>(
  take: Pick<TakeNow, 'performer' | 'prop'>,
  settings: readonly Setting[],
): Setting | null {
  const named = settings.filter(
    (setting) => setting.performers.length > 0 && takesFor(setting, [take]).length > 0,
  );
  const [first] = [...named].sort(
    (a, b) => Number(b.prop !== '') - Number(a.prop !== '') || (a.keptAt < b.keptAt ? 1 : -1),
  );
  return first ?? null;
}

/** What has changed, in a sentence; '' where nothing has. */
export function changesText(changes: readonly Change[]): string {
  return changes.map(changeText).join(' ');
}

function changeText(change: Change): string {
  switch (change.kind) {
    case 'unjudged':
      return 'Not judged on any take yet.';
    case 'program':
      return `Judged by version ${change.version} of the program.`;
    case 'changed':
      return `Labels or calibration have changed since: ${change.titles.join(', ')}.`;
    case 'gone':
      return `No longer among its takes: ${change.titles.join(', ')}.`;
    case 'added':
      return `Not judged on yet: ${change.titles.join(', ')}.`;
  }
}
