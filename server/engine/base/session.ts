/** On what a take was recorded, and when; each '' or missing where nobody said so. */
export interface RecordedOn {
  readonly prop?: string;
  /** As somebody wrote it; 2026-11-30 sorts well. */
  readonly day?: string;
  readonly firmware?: string;
  readonly sensor?: string;
}

export const RECORDED_ON = [
  'prop',
  'day',
  'firmware',
  'sensor',
] as const satisfies readonly (keyof RecordedOn)[];

/** A session: day, firmware and sensor, as far as they are known; '' where none is. */
export function sessionName({ day = '', firmware = '', sensor = '' }: RecordedOn): string {
  return [day.trim(), firmware.trim() && `firmware ${firmware.trim()}`, sensor.trim()]
    .filter((part) => part !== '')
    .join(' · ');
}
