/** The kinds of units that a column can have. */
export type UnitFamily = 'time' | 'gyro' | 'accel' | 'gravity' | 'button';

interface RoleFacts {
  /** What the page calls it. */
  readonly words: string;
  /**
   * What its cells are: stamps, values of one axis, states that make presses, what the prop decided, texts that hold over
   * rows; null for unread.
   */
  readonly reads: 'stamps' | 'axis' | 'presses' | 'decisions' | 'spans' | null;
  readonly units: UnitFamily | null;
  /** Whether no take is whole without it. */
  readonly isNeeded: boolean;
  /** The role of the column that it is added to, which has to stand in the same file; null for none. */
  readonly addsTo: string | null;
}

/** What a column of a log can be, said once: guesses, checks, command line, preview table and schemas go by this. */
export const COLUMN_ROLES = {
  time: { words: 'time', reads: 'stamps', units: 'time', isNeeded: false, addsTo: null },
  gyroX: { words: 'rate x', reads: 'axis', units: 'gyro', isNeeded: true, addsTo: null },
  gyroY: { words: 'rate y', reads: 'axis', units: 'gyro', isNeeded: true, addsTo: null },
  gyroZ: { words: 'rate z', reads: 'axis', units: 'gyro', isNeeded: true, addsTo: null },
  accelX: { words: 'acceleration x', reads: 'axis', units: 'accel', isNeeded: true, addsTo: null },
  accelY: { words: 'acceleration y', reads: 'axis', units: 'accel', isNeeded: true, addsTo: null },
  accelZ: { words: 'acceleration z', reads: 'axis', units: 'accel', isNeeded: true, addsTo: null },
  gravityX: { words: 'gravity x', reads: 'axis', units: 'gravity', isNeeded: false, addsTo: 'accelX' },
  gravityY: { words: 'gravity y', reads: 'axis', units: 'gravity', isNeeded: false, addsTo: 'accelY' },
  gravityZ: { words: 'gravity z', reads: 'axis', units: 'gravity', isNeeded: false, addsTo: 'accelZ' },
  button: { words: 'button', reads: 'presses', units: 'button', isNeeded: false, addsTo: null },
  guardClosed: {
    words: 'prop: guard closed',
    reads: 'decisions',
    units: null,
    isNeeded: false,
    addsTo: null,
  },
  pressRefused: {
    words: 'prop: press refused',
    reads: 'decisions',
    units: null,
    isNeeded: false,
    addsTo: null,
  },
  fired: { words: 'prop: what fired', reads: 'decisions', units: null, isNeeded: false, addsTo: null },
  label: { words: 'label text', reads: 'spans', units: null, isNeeded: false, addsTo: null },
  ignored: { words: 'left alone', reads: null, units: null, isNeeded: false, addsTo: null },
} as const satisfies Readonly<Record<string, RoleFacts>>;

export type Role = keyof typeof COLUMN_ROLES;

type RoleWith<Fact> = {
  [Own in Role]: (typeof COLUMN_ROLES)[Own] extends Fact ? Own : never;
}[Role];

export type MotionRole = RoleWith<{ readonly isNeeded: true }>;

/** Gravity in columns of its own, beside an acceleration from which it was taken out. */
export type GravityRole = RoleWith<{ readonly units: 'gravity' }>;

/** What the prop itself decided. */
export type DecisionRole = RoleWith<{ readonly reads: 'decisions' }>;

export type TrackRole = RoleWith<{ readonly reads: 'presses' | 'decisions' | 'spans' }>;

export const ROLES = Object.keys(COLUMN_ROLES) as readonly Role[];

/** The six motion channels, in the order in which reports list them. */
export const MOTION_ROLES = ROLES.filter((role) => COLUMN_ROLES[role].isNeeded) as readonly MotionRole[];

/** The sensor whose axis a column is; null for gravity, which belongs to none, and all that is no motion. */
export function sensorOf(role: Role): 'accel' | 'gyro' | null {
  const { units } = COLUMN_ROLES[role];
  return units === 'accel' || units === 'gyro' ? units : null;
}

/** True for the values of one axis: they have a sign, which may be the wrong way round. */
export function isAxis(role: Role): role is MotionRole | GravityRole {
  return COLUMN_ROLES[role].reads === 'axis';
}

export function isGravityRole(role: Role): role is GravityRole {
  return COLUMN_ROLES[role].units === 'gravity';
}

export function isDecision(role: Role): role is DecisionRole {
  return COLUMN_ROLES[role].reads === 'decisions';
}

export function isTrack(role: Role): role is TrackRole {
  const { reads } = COLUMN_ROLES[role];
  return reads === 'presses' || reads === 'spans' || isDecision(role);
}
