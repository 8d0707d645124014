import { notify } from './notices.ts';

/** What the fields of a take and of a setting are called, where they are told of. */
const WORDS: Readonly<Record<string, string>> = {
  title: 'title',
  performer: 'performer',
  performers: 'performers',
  drill: 'drill',
  prop: 'prop',
  day: 'day',
  firmware: 'firmware',
  sensor: 'sensor',
  notes: 'notes',
  note: 'note',
  name: 'name',
  calibration: 'calibration',
  candidate: 'values',
  evidence: 'evidence',
  powerButton: 'power button',
  deflectionButton: 'deflection button',
  useUnfit: 'whether it counts',
};
const LONGEST = 80;

/**
 * Tells that a change was not saved, since somebody else changed the same thing meanwhile: both texts of each field, so that
 * neither is lost.
 * @param theirs  as it is now  @param mine  the change  @param saveMine  puts the change on top of theirs
 */
export function tellConflict(what: string, theirs: object, mine: object, saveMine: () => void): void {
  const there = theirs as Readonly<Record<string, unknown>>;
  const fields = Object.entries(mine)
    .filter(([name, value]) => JSON.stringify(there[name]) !== JSON.stringify(value))
    .map(([name, value]) => {
      const word = WORDS[name] ?? name;
      const isText = typeof value === 'string' && typeof there[name] === 'string';
      return isText
        ? `${word}: there “${shown(there[name])}”, yours “${shown(value)}”`
        : `${word}: another there`;
    });
  const text = `Not saved: ${what} was changed elsewhere meanwhile, perhaps in another tab, and is shown as it is there. ${fields.join('; ')}${fields.length > 0 ? '.' : ''}`;
  notify('error', text.trim(), { label: 'Save mine', run: saveMine });
}

function shown(value: unknown): string {
  const text = String(value);
  return text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text;
}
