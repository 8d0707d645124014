import { describe, expect, test } from 'vitest';
import { MOTION, motionGrid } from '../../server/engine/choose/motion/motionProblem.ts';
import { sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { agreementTexts } from '../../server/engine/words/choose/agreement.ts';
import { declineWords } from '../../server/engine/words/choose/declines.ts';
import { intervalOf } from '../../server/engine/words/choose/suggestion.ts';
import { runChoiceJob } from '../../web/sweep/choiceJobs.ts';
import type { MotionJob, MotionValue } from '../../web/sweep/jobs.ts';
import type { Surroundings } from '../../web/sweep/runner.ts';
import { type Given, input, surroundings, takes } from './sweepTakes.ts';

const { smoothing, guard } = DEFAULT_CANDIDATE;

async function run(given: readonly Given[], change: { patienceMs?: number } & Partial<Surroundings> = {}) {
  const { patienceMs = 300, ...around } = change;
  const made = surroundings(around);
  const job: MotionJob = { kind: 'motion', takes: given, smoothing, base: { ...guard, patienceMs } };
  await runChoiceJob(job, made.around);
  return made.told as MotionValue[];
}

/** Of a take's three spins, so many are said to be spins by a person. */
function confirmed(take: Given, spins = 3): Given {
  const spans = [2, 10, 18].slice(0, spins).map((startS) => ({
    startUs: startS * 1e6,
    endUs: (startS + 4) * 1e6,
    kind: 'spinning',
    by: 'person' as const,
  }));
  return { ...take, labels: { ...take.labels, spans } };
}

const withoutPresses = (take: Given): Given => ({
  ...take,
  presses: [],
  labels: { ...take.labels, presses: [] },
});

const bare = takes.map(withoutPresses);
const spun = takes.map((take) => confirmed(take));

describe('the guard’s sweep by motion', () => {
  test('proposed spins are drawn and counted, but nothing is suggested until a person confirms them', async () => {
    const found = (await run(bare)).at(-1)!;
    expect(found.grid!.sizes).toMatchObject({ strays: 9, wanted: 9 });
    const { choice, agreement, stress } = found.result!;
    if (choice.kind !== 'declined') throw new Error('it suggests on proposals');
    expect(choice.decline.kind).toBe('unconfirmed');
    const { text, advice } = declineWords(choice.decline);
    expect(text).toContain('9 spins and 9 stops');
    expect(advice.map((one) => one.slice(0, 3))).toEqual(['T1:', 'T2:', 'T3:']);
    expect([agreement, stress]).toEqual([null, []]);
  });

  test('where even the best setting leaves spins open, nothing is suggested, and each of them is named', async () => {
    // Said to begin two seconds before the blade moves: no guard can be closed throughout.
    const early = bare.map((take) => {
      const { labels } = confirmed(take);
      const spans = labels.spans.map((span) => ({ ...span, startUs: span.startUs - 2e6 }));
      return { ...take, labels: { ...labels, spans } };
    });
    const { choice, wrong } = (await run(early)).at(-1)!.result!;
    expect(choice).toMatchObject({ kind: 'declined', decline: { kind: 'noneGood' } });
    if (choice.kind !== 'declined') throw new Error('it suggests');
    const { k } = choice.decline.best!['strays']!;
    expect(k).toBeGreaterThan(2);
    const open = wrong.filter(({ part }) => part === 'strays');
    expect(open).toHaveLength(k);
    const starts = new Set(early[0]!.labels.spans.map(({ startUs }) => startUs));
    for (const { atUs } of open) expect(starts.has(atUs)).toBe(true);
  });

  test('once confirmed they give a suggestion without a single press, with folds, stress and exact intervals', async () => {
    const { result } = (await run(bare.map((take) => confirmed(take)))).at(-1)!;
    expect(result!.choice).toMatchObject({
      kind: 'suggestion',
      wrong: { strays: { k: 0, n: 9 }, wanted: { k: 0, n: 9 } },
    });
    // Clopper and Pearson at 0 of 9: 1 - 0.025^(1/9)
    expect(intervalOf('motion', { k: 0, n: 9 })!.high).toBeCloseTo(1 - 0.025 ** (1 / 9), 10);
    expect(result!.byTake!.folds.map(({ name, wrong }) => [name, wrong.strays])).toEqual([
      ['T1', { k: 0, n: 3 }],
      ['T2', { k: 0, n: 3 }],
      ['T3', { k: 0, n: 3 }],
    ]);
    expect(result!.byPerformer!.folds.map(({ name }) => name)).toEqual(['spinner', 'beginner']);
    expect(result!.stress.map(({ flips }) => flips)).toEqual([0, 0, 0, 0, 0, 0]);
    expect(result!.stressed).toBe(3);
    expect(result!.agreement).toBe(null);
  });

  test('its map is the sum of the takes’ own, whichever take it began with', async () => {
    const { reader } = surroundings();
    const grids = [];
    for (const take of spun) {
      const read = await reader.read(take, smoothing);
      grids.push(motionGrid(read, { ...guard, patienceMs: 300 }, sweepTake(read, guard)));
    }
    const plain = (await run(spun)).at(-1)!;
    expect(plain.grid).toEqual(MOTION.sum(grids));
    expect((await run(spun, { firstId: 't3' })).at(-1)).toEqual(plain);
  });

  test('takes that nobody has confirmed are told of and not counted beside confirmed ones', async () => {
    const found = (await run([spun[0]!, spun[1]!, bare[2]!])).at(-1)!;
    expect(found.grid!.sizes).toMatchObject({ strays: 6, wanted: 6 });
    expect(found.evidence.map(({ isConfirmed }) => isConfirmed)).toEqual([true, true, false]);
    expect(found.evidence[2]).toMatchObject({ waitingSpins: 3, waitingStops: 3 });
    expect(found.result!.byTake!.folds.map(({ name }) => name)).toEqual(['T1', 'T2']);
  });

  test('three spins are too few, and it says how many more', async () => {
    const { choice } = (await run([spun[0]!])).at(-1)!.result!;
    if (choice.kind !== 'declined') throw new Error('it suggests on three spins');
    expect(choice.decline.kind).toBe('tooFew');
    const { text, advice } = declineWords(choice.decline);
    expect(text).toContain('3 confirmed spins and 3 confirmed stops');
    expect(advice.join(' ')).toMatch(/Record 2 more spins.*Record 2 more stops/);
  });

  test('a take without a swing is left out, and says why', async () => {
    const found = (await run([confirmed(input('still', 'spinner')), ...spun])).at(-1)!;
    expect(found.evidence[0]!.unfit!.kind).toBe('noSwing');
    expect(found.grid!.sizes).toMatchObject({ strays: 9 });
    expect(found.result!.byTake!.folds).toHaveLength(3);
  });

  test('beside presses it says how well both agree, also on presses left out', async () => {
    const { agreement, choice } = (await run(spun)).at(-1)!.result!;
    if (choice.kind !== 'suggestion') throw new Error('no suggestion');
    const { x, y } = choice;
    expect(agreement!.byMotion).toEqual({
      x,
      y,
      strays: { k: 0, n: 27 },
      wanted: { k: 0, n: 18 },
    });
    expect(agreement!.byPresses).toMatchObject({ strays: { k: 0, n: 27 }, wanted: { k: 0, n: 18 } });
    expect(agreement!.leftOut).toMatchObject({
      byMotion: { strays: { k: 0, n: 27 }, wanted: { k: 0, n: 18 } },
      byPresses: { strays: { k: 0, n: 27 }, wanted: { k: 0, n: 18 } },
    });
    // Of each stop's two, one comes 0.6 s after it, the other after 2.9 s.
    expect(agreement!.soon).toEqual({ k: 0, n: 9 });
  });

  test('of two takes neither suffices to choose by, so nothing is said of presses left out', async () => {
    const { agreement } = (await run([spun[0]!, spun[1]!])).at(-1)!.result!;
    expect(agreement!.byMotion.strays).toEqual({ k: 0, n: 18 });
    expect(agreement!.leftOut).toBe(null);
    expect(agreementTexts(agreement!, 300).join(' ')).not.toContain('left out');
  });

  test('a performer who presses sooner than the patience disagrees with the motion, and it says so', async () => {
    const hasty = spun.map((take): Given => {
      const sooner = <Label extends { readonly downUs: number }>(label: Label): Label =>
        [6.6, 14.6, 22.6].includes(label.downUs / 1e6) ? { ...label, downUs: label.downUs - 580_000 } : label;
      const presses = take.presses.map(sooner);
      return { ...take, presses, labels: { ...take.labels, presses: take.labels.presses.map(sooner) } };
    });
    const { agreement } = (await run(hasty)).at(-1)!.result!;
    expect(agreement!.byMotion.wanted).toEqual({ k: 9, n: 18 });
    expect(agreement!.byMotion.strays.k).toBe(0);
    expect(agreement!.soon).toEqual({ k: 9, n: 9 });
    expect(agreement!.leftOut!.byMotion.wanted.k).toBe(9);
    const texts = agreementTexts(agreement!, 300).join(' ');
    expect(texts).toMatch(
      /refuses 9 of 18 wanted ones.*9 of the 9 wanted presses soon after a stop come before 300 ms/,
    );
  });

  test('more patience allows a longer hold, less a shorter one', async () => {
    const longest = async (patienceMs: number) => {
      const { choice } = (await run(spun, { patienceMs })).at(-1)!.result!;
      if (choice.kind !== 'suggestion') throw new Error('no suggestion');
      return choice.plateau.yMargin.high;
    };
    const [short, usual, long] = [await longest(200), await longest(300), await longest(450)];
    expect(usual - short).toBeCloseTo(100, -1);
    expect(long - usual).toBeCloseTo(150, -1);
  });
});
