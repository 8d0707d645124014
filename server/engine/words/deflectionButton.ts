/** Why deflections of a take are not known, as in "Title: ...", without a full stop. */
export const NO_DEFLECTION_BUTTON = 'its log does not tell when the deflection button was held';

/** The same where one can do something about it at once. */
export const SAY_DEFLECTION_BUTTON =
  'Not known: this log does not tell when the deflection button was held. Say which button it is under What the buttons do, or record with it.';

/** The same as a caution that names takes behind it. */
export const DEFLECTIONS_NOT_KNOWN =
  'Deflections are not known, as the log does not tell when their button was held';
