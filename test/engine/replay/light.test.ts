import { describe, expect, test } from 'vitest';
import type { PressVerdict } from '../../../server/engine/detect/presses.ts';
import type { Intent, PressLabel } from '../../../server/engine/labels/labels.ts';
import { lightAt, lightOver, timeIn } from '../../../server/engine/replay/light.ts';
import { tellStory } from '../../../server/engine/replay/story.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { storyLines } from '../../../server/engine/words/story.ts';

/**
 * One character per 100 ms: W, S, U a press let through (unlabelled: P); w, s, u, p one refused; ? not judged, b a bounce of
 * the one before; ~ a swing.
 */
function input(line: string) {
  const verdicts: PressVerdict[] = [];
  const labels: PressLabel[] = [];
  const movesUs: number[] = [];
  [...line].forEach((character, k) => {
    const downUs = k * 100_000;
    if (character === '~') movesUs.push(downUs);
    if (!/[wsup?b]/i.test(character)) return;
    const press = { button: 'power', downUs, upUs: null };
    const accepted = /[?b]/.test(character) ? null : character === character.toUpperCase();
    verdicts.push({
      press,
      pressIndex: verdicts.length,
      decidedUs: downUs,
      accepted,
      refusedBy: accepted === false ? 'hold' : null,
      speedDps: 0,
      lastAboveUs: null,
      beforeMs: null,
      holdLeftMs: null,
      unknown: character === 'b' ? 'bounce' : accepted === null ? 'motion' : null,
      heldMs: 0,
      settings: DEFAULT_CANDIDATE.guard,
    });
    const intent = ({ w: 'wanted', s: 'stray', u: 'unsure' } as Record<string, Intent>)[
      character.toLowerCase()
    ];
    if (intent) labels.push({ downUs, button: 'power', intent, by: 'person' });
  });
  return { durationUs: line.length * 100_000, verdicts, labels: { presses: labels }, movesUs };
}

const LETTER = { lit: '*', dark: '_', wronglyDark: '!', unknown: '?' };

/** One character per 100 ms: * lit, _ dark, ! wrongly dark, ? not known. */
function drawn(line: string): string {
  const spans = lightOver(input(line));
  return [...line].map((_, k) => LETTER[lightAt(spans, k * 100_000)]).join('');
}

describe('lit or dark', () => {
  test.each([
    ['a wanted press lights it, the next puts it out', '..W.~.~.W..', '__******___'],
    ['a stray one let through turns it dark until a wanted one', '.W~S~.W..W~.W', '_**!!!___***_'],
    ['a second stray lights it again', '.W~S.S~.W.', '_**!!***__'],
    ['a stray one refused changes nothing', '.W~s~.W..', '_*****___'],
    ['a wanted one refused leaves it lit, its repeat puts it out', '.W~.w.W..', '_*****___'],
    ['repeats do not turn what is meant round', '.W~.w.w.W..W~.W', '_*******___***_'],
    ['one that was to light it, refused, leaves it wrongly dark', '.w.~.~W..', '_!!!!!___'],
    ['one that cannot be judged leaves it unknown until a wanted one', '.W~?~.W..', '_**???___'],
    ['a bounce is no press', '.W~b~.Wb.', '_*****___'],
    ['lit before the first press if it swung by then', '.~.~S~.W.', '****!!!__'],
    ['unlabelled presses turn it dark without a judgement', '.P~.P.P~', '_***__**'],
    ['without labels, lit at the start if it swung before the first press', '~.P.', '**__'],
    ['what an unlabelled one turned dark is not wrong, until a wanted one', '.W~U~.W~S~W', '_**___**!!_'],
    ['without any press it is lit', '.~.', '***'],
    ['a stray one lights a blade that is meant to be dark', '.W~.W.S.W~', '_***__****'],
  ])('%s', (_name, line, expected) => expect(drawn(line)).toBe(expected));

  test('the spans cover the take without a break', () => {
    const spans = lightOver(input('.W~S~.W..?.W~.W'));
    expect(spans[0]!.startUs).toBe(0);
    expect(spans.at(-1)!.endUs).toBe(1_500_000);
    for (const [k, span] of spans.slice(1).entries()) expect(span.startUs).toBe(spans[k]!.endUs);
    const total = (['lit', 'dark', 'wronglyDark', 'unknown'] as const).reduce(
      (sum, s) => sum + timeIn(spans, s),
      0,
    );
    expect(total).toBe(1_500_000);
  });
});

describe('the story', () => {
  const told = (line: string, deflectionsUs: readonly number[] = []) =>
    storyLines(tellStory({ ...input(line), deflectionsUs })).map(({ text, momentsUs, isBad }) =>
      [text, momentsUs.map((us) => us / 1e5).join(), isBad ? 'bad' : ''].join('|'),
    );

  test('says how often and how long it was wrongly dark, and what had to be repeated, with the moments', () => {
    expect(told('.W~S~.W..W~S.S~w.W.')).toEqual([
      'Wrongly dark 2 times, for 500 ms in all.|3,11|bad',
      '1 of 5 wanted presses was refused, to be repeated.|15|bad',
    ]);
  });

  test('says that nothing went wrong', () => {
    expect(told('.W~s~.W..')).toEqual([
      'Never wrongly dark.||',
      'No wanted press had to be repeated, of 2.||',
    ]);
  });

  test('is not told where nobody has labelled anything', () => {
    expect(told('.P~.P')).toEqual([
      'Whether it was ever wrongly dark is not known: no press is labelled wanted or stray.||',
      '2 presses are neither labelled wanted nor stray: shown, and not judged.||',
    ]);
    expect(told('.W~.W')[0]).toBe('Never wrongly dark, but no press is labelled stray.||');
    expect(told('.W~b.Wb').length).toBe(2);
    expect(told('.W~?.W').at(-1)).toBe('For 200 ms the light is not known: a press could not be judged.||');
  });

  test('counts deflections that nobody saw', () => {
    const line = '.W~S~~.W..';
    const story = tellStory({ ...input(line), deflectionsUs: [2e5, 4e5, 5e5, 8e5] });
    expect(story.deflecting).toEqual([{ startUs: 2e5, endUs: 4e5 }]);
    expect(story.lostUs).toEqual([4e5, 5e5]);
    expect(told(line, [2e5, 4e5, 5e5])[2]).toBe(
      '2 of 3 deflections went unseen: the blade was wrongly dark.|4,5|bad',
    );
  });
});
