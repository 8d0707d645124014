/** What a line of the check says of the take. */
export type CheckState = 'pass' | 'caution' | 'fail';

/** One question of the check and its answer; each adds the causes and numbers that its sentences rest on. */
export interface Line<Id extends string> {
  readonly id: Id;
  readonly state: CheckState;
}
