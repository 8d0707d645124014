import type { SettingEvidence } from '../../kept/keptSetting.ts';

/** How the numbers came about, and where to read of it. */
export function methodTexts({ problems }: SettingEvidence): string[] {
  const isByMotion = problems.some(({ kind, declined }) => kind === 'motion' && declined === null);
  return [
    'The values were tried on recorded takes, sample by sample as a prop would decide. Labels say what was wanted: k of n is how many of the labelled things went wrong.',
    'Behind each k of n stands Wilson’s interval (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927, 209–212), which holds the true share about 95 times in 100. It takes each press, swing or gesture as drawn by itself; those of one evening and one performer are more alike, so another evening may lie further off than it says.',
    ...(isByMotion
      ? [
          'Spins and stops have the exact interval (C. J. Clopper and E. S. Pearson, Biometrika 26, 1934, 404–413), which holds the true share at least 95 times in 100.',
        ]
      : []),
    '“Chosen on the others, scored on this one”: the choice is made again without one take, or without one performer, and tried on what was left out. It tells how well such a choice carries over; scores on the takes that a value was chosen on look better than they are.',
    'Under stress, the signals are computed again with what may differ on another day: gains, mount, bias, lever arm, sample rate, noise.',
    'What changes in takes, labels or program after this sheet was made is not on it.',
    'A prop whose firmware filters or decides otherwise will behave otherwise.',
  ];
}
