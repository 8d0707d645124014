/** Where work with a prop can hurt somebody: said on the page and on every sheet. */
export const CAUTIONS: readonly string[] = [
  'Swing only in clear space, and wear eye protection where people are close.',
  'A guard against stray presses is a convenience, no safety device. Never rely on it to keep a blade lit or dark.',
  'Lithium cells: follow the maker’s instructions for charging, carrying and storing them.',
  'Flashing light can trigger seizures: no more than three flashes in any one second (WCAG 2.2, 2.3.1).',
  'What may be swung where is for the venue and the local rules to say; the prop’s maker has the last word on the prop.',
];
