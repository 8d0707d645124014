/** The stretch within which a detection may belong to an event, both ends included, and the moment it is measured from. */
export interface MatchWindow {
  readonly fromUs: number;
  readonly toUs: number;
  readonly atUs: number;
}
