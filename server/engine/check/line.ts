/** Result of one line of the check. */
export type CheckState = 'pass' | 'caution' | 'fail';

/** One question of the check and its result; each kind of line adds the causes and numbers that its sentences need. */
export interface Line<Id extends string> {
  readonly id: Id;
  readonly state: CheckState;
}
