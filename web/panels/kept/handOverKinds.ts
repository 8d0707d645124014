/** What a prop's maker gets, and whether the prop's own figures go into it. */
export const HAND_OVER_KINDS = {
  text: { name: 'text to type off', says: 'One line a value, with its name and unit.', usesProp: true },
  json: {
    name: 'a file (JSON)',
    says: 'The setting with its evidence, for another workspace or the command line.',
    usesProp: false,
  },
  sheet: {
    name: 'a sheet to print',
    says: 'Values, room, scores and takes, as one HTML file and as Markdown.',
    usesProp: false,
  },
  header: { name: 'a C header', says: 'Constants with units in their names.', usesProp: true },
  c99: {
    name: 'detectors in C99',
    says: 'Header, source and example: they decide as the workbench does.',
    usesProp: true,
  },
  template: {
    name: 'a template of your own',
    says: 'A text file with placeholders such as {{guard.speedDps in rad/s to 3 decimals}}, filled in.',
    usesProp: true,
  },
} as const;

export type HandOverKind = keyof typeof HAND_OVER_KINDS;
