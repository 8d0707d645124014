import { describe, expect, test } from 'vitest';
import { declineOn } from '../../../server/engine/choose/decline.ts';
import { evidenceOf, type TakeEvidence } from '../../../server/engine/choose/evidence.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import { suggest, suggestOn } from '../../../server/engine/choose/suggest.ts';
import { type ChoiceTake, sweepTake } from '../../../server/engine/choose/takeSweep.ts';
import type { Intent } from '../../../server/engine/labels/labels.ts';
import { claimTexts, marginTexts, roomText } from '../../../server/engine/words/choose/suggestion.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { declined } from './declined.ts';
import { guard, labelled } from './drawnTake.ts';

const LEAST_EVENTS = 5;

const base = guard();

/**
 * 100 Hz. Ten swings of 0.5 s at 500 deg/s with dips of 0.1 s to 0, then a second of rest; six times. A press `strayMs`
 * into a dip, and one `wantedMs` after the last swing, each time.
 */
function plainTake(strayMs = 60, wantedMs = 400): ChoiceTake {
  const swing = [...new Array(50).fill(500), ...new Array(10).fill(0)];
  const round = [...Array.from({ length: 10 }, () => swing).flat(), ...new Array(200).fill(0)];
  const speed = Array.from({ length: 6 }, () => round).flat();
  const signals = fakeSignals({ swingSpeedDps: speed }, { rateHz: 100 });
  const roundUs = round.length * 10_000;
  const presses = Array.from({ length: 6 }, (_, k) => [
    { button: 'power', downUs: k * roundUs + 3_490_000 + strayMs * 1000, upUs: null },
    { button: 'power', downUs: k * roundUs + 5_890_000 + wantedMs * 1000, upUs: null },
  ]).flat();
  const reversals = Array.from({ length: 6 }, (_, k) =>
    Array.from({ length: 9 }, (_, i) => {
      const index = k * round.length + i * 60 + 55;
      return { index, timeUs: index * 10_000, lowestDps: 0, turnDeg: 180, peakBefore: 0, peakAfter: 0 };
    }),
  ).flat();
  const spinning = Array.from({ length: 6 }, (_, k) => ({
    startUs: k * roundUs,
    endUs: k * roundUs + 5_900_000,
  }));
  return {
    id: 'plain',
    title: 'Plain',
    performer: 'one',
    signals,
    presses,
    labels: labelled(presses, (i) => (i % 2 === 0 ? 'stray' : 'wanted')),
    truth: { swings: [], spinning, reversals },
  };
}

function chosen(takes: readonly ChoiceTake[]) {
  return suggest(
    GUARD,
    GUARD.sum(takes.map((take) => sweepTake(take, base))),
    takes.map((take) => evidenceOf(take, base)),
  );
}

describe('the suggestion', () => {
  const choice = chosen([plainTake()]);
  if (choice.kind !== 'suggestion') throw new Error('declined');

  test('lies on the plateau: no stray press through, no wanted one refused, no reversal open', () => {
    expect(choice.wrong).toMatchObject({
      strays: { k: 0, n: 6 },
      wanted: { k: 0, n: 6 },
      reversals: { k: 0 },
    });
    expect(choice.plateau.bestCost).toBe(0);
  });

  // A dip of 0.1 s is 11 samples from the last fast one to the next; a hold of 110 ms covers it. The wanted press comes
  // 400 ms after the last fast sample: a hold of 400 ms still lets it pass (closed while fewer than 40 samples lie back).
  test('its margins are those of the take, whatever the speed below 500 °/s', () => {
    expect(choice.plateau.yMargin).toMatchObject({ low: 110, high: 400 });
    expect(choice.plateau.xMargin).toMatchObject({ low: 90, high: 500 });
    expect(marginTexts('guard', choice)).toEqual([
      `As good from 90 to 500 °/s at ${choice.y} ms.`,
      `As good from 110 to 400 ms at ${choice.x} °/s.`,
    ]);
  });

  test('where a step of the cost hides an odd reversal or some quiet time, the margins say so', () => {
    const rises = { ...choice.rises, reversals: { x: 1, y: 0 }, quietS: { x: 0.04, y: 0.3 } };
    const wrong = { ...choice.wrong, reversals: { k: 0, n: 54 }, quietS: { k: 0, n: 12 } };
    const [speed, hold] = marginTexts('guard', { ...choice, rises, wrong });
    expect(speed).toMatch(/ ms, with at most 1 more of 54 reversals open\.$/);
    expect(hold).toMatch(/ °\/s, with at most 0\.3 s more of 12\.0 s of quiet time closed\.$/);
  });

  test('its tolerance is what its grid holds within the margins', () => {
    const grid = sweepTake(plainTake(), base);
    const { cell } = suggestOn(GUARD, grid);
    const odd = { ...grid, wrong: { ...grid.wrong, reversals: grid.wrong.reversals.slice() } };
    odd.wrong.reversals[cell + grid.ys.length]! += 1;
    expect(suggestOn(GUARD, odd)).toMatchObject({ cell, rises: { reversals: { x: 1, y: 0 } } });
    expect(suggestOn(GUARD, grid)).toMatchObject({ rises: { reversals: { x: 0, y: 0 } } });
  });

  // What does worse is known: 80 °/s and 510, 100 ms and 410. A fifth of 130 ms is 26, of 120 it is 24.
  test('it is the shortest hold with a fifth of room to what does worse, and the speed with most room at that hold', () => {
    const roomOf = (x: number) => Math.min((x - 80) / x, (510 - x) / x);
    expect(choice.y).toBe(130);
    for (let x = 90; x <= 500; x += 10) expect(roomOf(x)).toBeLessThanOrEqual(roomOf(choice.x) + 1e-12);
    expect(choice.plateau.room).toBeCloseTo(30 / 130, 12);
    expect(roomText('guard', choice)).toBe(
      'The shortest hold that leaves 20 % of room, or more, before anything known to do worse. Both settings can change by ' +
        '15 % at once, and all that was tried within is as good: 247 to 334 °/s, 111 to 150 ms.',
    );
    const narrow = { ...choice.plateau, room: 0.189, triedRoom: 0.004 };
    expect(roomText('guard', { ...choice, plateau: narrow })).toBe(
      'No setting leaves 20 % of room before something is known to do worse: this one leaves most, 18 %. ' +
        'One step further something does worse already.',
    );
  });

  test('where no wanted press tells how long the hold may be, its margin says so and the hold stays short', () => {
    const late = chosen([plainTake(60, 900)]);
    if (late.kind !== 'suggestion') throw new Error('declined');
    expect(late.plateau.yMargin.reachesHighEnd).toBe(true);
    expect(late.y).toBe(130);
    expect(marginTexts('guard', late)[1]).toBe(
      `As good from 110 to 600 ms at ${late.x} °/s. 600 ms is the longest tried, no margin: nothing here tells how long it may be.`,
    );
  });

  test('says how many more presses of each kind a claim takes', () => {
    expect(claimTexts('guard', choice)[0]).toBe(
      '53 more stray presses (59 in all), none of them let through, to claim less than 1 in 20.',
    );
  });
});

describe('bad cases say what they are', () => {
  const withLabels = (intentOf: (i: number) => Intent | null, count = 12): ChoiceTake => {
    const take = plainTake();
    const presses = take.presses.slice(0, count);
    const labels = labelled(presses, (i) => intentOf(i) ?? 'unsure');
    return { ...take, presses, labels };
  };
  const evidence = (change: Partial<TakeEvidence>): TakeEvidence => ({
    ...evidenceOf(plainTake(), base),
    ...change,
  });

  test.each([
    ['no press at all', withLabels(() => 'wanted', 0), 'noPresses', 'There is no press of the power button'],
    ['no labels', withLabels(() => null), 'noLabels', 'None of the 12 presses says whether it was wanted'],
    ['stray presses only', withLabels(() => 'stray'), 'oneClass', 'All 12 labelled presses are stray'],
    ['wanted presses only', withLabels(() => 'wanted'), 'oneClass', 'All 12 labelled presses are wanted'],
    [
      'too few',
      withLabels((i) => (i % 2 === 0 ? 'stray' : 'wanted'), 6),
      'tooFew',
      '3 stray presses and 3 wanted ones are too few',
    ],
    [
      'labels turned round',
      withLabels((i) => (i % 2 === 0 ? 'wanted' : 'stray')),
      'contradictory',
      'The labels contradict one another',
    ],
  ] as const)('%s', (_name, take, kind, text) => {
    const words = declined(GUARD, sweepTake(take, base), [evidenceOf(take, base)])!;
    expect(words.kind).toBe(kind);
    expect(words.text).toContain(text);
    expect(words.advice.length).toBeGreaterThan(0);
  });

  test('a press that one and the same labeller calls both wanted and stray', () => {
    const take = plainTake();
    const again = { ...take.labels.presses[0]!, intent: 'wanted' as const };
    const labels = { ...take.labels, presses: [...take.labels.presses, again] };
    expect(declined(GUARD, null, [evidenceOf({ ...take, labels }, base)])).toMatchObject({
      kind: 'contradictory',
      text: '1 press is labelled both wanted and stray.',
      advice: ['Plain: decide on the press at 3.5 s.'],
    });
  });

  test('a person who corrects the program contradicts nobody', () => {
    const take = plainTake();
    const again = { ...take.labels.presses[0]!, intent: 'wanted' as const, by: 'program' as const };
    const labels = { ...take.labels, presses: [...take.labels.presses, again] };
    expect(evidenceOf({ ...take, labels }, base).contradictionsUs).toEqual([]);
  });

  test('all takes unfit, each with its reason', () => {
    const slow = { ...plainTake(), title: 'Slow', signals: fakeSignals({ swingSpeedDps: [0, 9, 0] }) };
    const coarse = {
      ...plainTake(),
      title: 'Coarse',
      signals: fakeSignals({ swingSpeedDps: [0, 900] }, { rateHz: 25 }),
    };
    const lost = {
      ...plainTake(),
      title: 'Lost',
      signals: fakeSignals({ swingSpeedDps: [Number.NaN, Number.NaN, 900] }),
    };
    const evidence = [slow, coarse, lost].map((take) => evidenceOf(take, base));
    const decline = declined(GUARD, null, evidence);
    expect(decline).toMatchObject({ kind: 'unfit', text: 'Nothing can be chosen on any of the 3 takes.' });
    expect(decline!.advice.join(' ')).toMatch(
      /Slow: it holds no swing \(its blade never goes faster than 9 °\/s\); check/,
    );
    expect(decline!.advice.join(' ')).toMatch(/Coarse: at 25 Hz/);
    expect(decline!.advice.join(' ')).toMatch(/Lost: most of its rotation rates are missing/);
  });

  test('no take at all', () => {
    expect(declined(GUARD, null, [])).toMatchObject({ kind: 'unfit', text: 'No take is chosen.' });
  });

  test('presses without motion data at the moment that is judged', () => {
    const take = plainTake();
    const judged = evidenceOf(take, guard({ decideAt: 'release' }));
    expect(judged).toMatchObject({ strays: 0, wanted: 0, unjudged: 12 });
    expect(declined(GUARD, null, [judged])).toMatchObject({
      kind: 'noPresses',
      text: expect.stringContaining('no motion data'),
    });
  });

  test('an unfit take is left out of the counts that must suffice', () => {
    const few = evidence({ strays: LEAST_EVENTS - 1, wanted: LEAST_EVENTS });
    const many = evidence({ strays: 50, wanted: 50, unfit: { kind: 'noMotion' } });
    expect(declineOn(GUARD, [few])?.kind).toBe('tooFew');
    expect(declineOn(GUARD, [few, many])?.kind).toBe('tooFew');
    expect(declineOn(GUARD, [few, { ...many, unfit: null }])).toBe(null);
  });
});
