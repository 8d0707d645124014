import { describe, expect, test } from 'vitest';
import { EMPTY_LABELS, type Labels } from '../../../server/engine/labels/labels.ts';
import { type DrillItem, type PlannedTake, planDrills } from '../../../server/engine/plan/drillPlan.ts';
import { isWithoutPresses, type TakeStock, takeStock } from '../../../server/engine/plan/takeStock.ts';
import { findTruth } from '../../../server/engine/truth/truth.ts';
import { borderText } from '../../../server/engine/words/choose/suggestion.ts';
import { DRILL_WORDS, shortcutText } from '../../../server/engine/words/plan.ts';
import { fakeMotion } from '../fakeSignals.ts';

const NOTHING: TakeStock = {
  stillS: 0,
  carryS: 0,
  spinningS: 0,
  reversals: 0,
  reversalsProposed: 0,
  singleSwings: 0,
  thrusts: 0,
  hits: 0,
  twists: 0,
  proposed: { thrust: 0, hit: 0, twist: 0 },
  wantedAfterStop: 0,
  wantedAtRest: 0,
  straysInSpin: 0,
  straysElsewhere: 0,
  unlabelledInSpin: 0,
  unlabelledElsewhere: 0,
  pressesByProgram: 0,
};
const take = (stock: Partial<TakeStock>, performer = 'Lead spinner', isFit = true): PlannedTake => ({
  performer,
  stock: { ...NOTHING, ...stock },
  isFit,
});
const find = (items: readonly DrillItem[], id: string, performer: string | null = null) =>
  items.find((item) => item.id === id && item.performer === performer)!;

describe('planDrills', () => {
  test('reversals in spins that only the program proposes count, ticked off or not, and the drill says so', () => {
    for (const reversals of [19, 80]) {
      const spin = find(
        planDrills([take({ reversals, reversalsProposed: 7 })]).items,
        'spin',
        'Lead spinner',
      );
      expect(shortcutText(spin)).toMatch(/^7 lie in spins that only the program proposes: .* confirm/);
    }
    const confirmed = find(planDrills([take({ reversals: 19 })]).items, 'spin', 'Lead spinner');
    expect(shortcutText(confirmed)).toBe('');
  });

  test('an empty workspace is asked for everything of a prop, and of no performer', () => {
    const { items, missing } = planDrills([]);
    expect(items.every((item) => item.performer === null && item.status === 'missing')).toBe(true);
    expect(missing).toBe(items.length);
  });

  // Rule of three, exact form: Hanley & Lippman-Hand, JAMA 249 (1983) [recomputed]; 1 - 0.05^(1/59) = 0.0495.
  test('59 stray presses are asked for, to claim less than 1 in 20; 58 are not enough, 59 are', () => {
    const strays = (count: number) => find(planDrills([take({ straysInSpin: count })]).items, 'strays');
    expect(strays(0).need).toBe(59);
    expect([strays(58).status, strays(59).status]).toEqual(['missing', 'done']);
  });

  test('takes are without presses if none holds one that is labelled wanted or stray', () => {
    const labelled = ['wantedAfterStop', 'wantedAtRest', 'straysInSpin', 'straysElsewhere'] as const;
    expect(isWithoutPresses([])).toBe(false);
    expect(isWithoutPresses([NOTHING, { ...NOTHING, unlabelledInSpin: 9 }])).toBe(true);
    for (const kind of labelled) expect(isWithoutPresses([NOTHING, { ...NOTHING, [kind]: 1 }])).toBe(false);
  });

  // 0 of 20: Wilson 0 to 0.1611252, Newcombe, Stat. Med. 17 (1998), Table I [recomputed].
  test('twenty wanted presses are asked for, and the reason tells what they leave open', () => {
    const wanted = find(planDrills([]).items, 'wanted');
    expect(wanted.need).toBe(20);
    expect(DRILL_WORDS.wanted.why).toContain('at most 16 %');
  });

  test('what several takes hold is added up', () => {
    const { items } = planDrills([
      take({ straysInSpin: 30, stillS: 6 }),
      take({ straysInSpin: 29, stillS: 4 }),
    ]);
    expect(find(items, 'strays')).toMatchObject({ have: 59, status: 'done' });
    expect(find(items, 'still')).toMatchObject({ have: 10, status: 'done' });
  });

  test('every performer is asked for reversals of their own', () => {
    const { items } = planDrills([
      take({ reversals: 60, spinningS: 20 }),
      take({ reversals: 10, spinningS: 10 }, 'Beginner'),
    ]);
    expect(find(items, 'spin', 'Lead spinner').status).toBe('done');
    expect(find(items, 'spin', 'Beginner')).toMatchObject({ have: 10, status: 'missing' });
  });

  test('one who has not been seen to spin need not', () => {
    const plan = planDrills([
      take({ singleSwings: 20, wantedAfterStop: 5, spinningS: 9.9, straysInSpin: 1 }, 'Stage duellist'),
    ]);
    expect(find(plan.items, 'spin', 'Stage duellist').status).toBe('optional');
    expect(find(plan.items, 'ownStrays', 'Stage duellist').status).toBe('optional');
    expect(
      plan.items
        .filter(({ performer }) => performer !== null && performer !== undefined)
        .some(({ status }) => status === 'missing'),
    ).toBe(false);
  });

  test('an unfit take counts for nothing; its performer is still asked', () => {
    const plan = planDrills([take({ straysInSpin: 80, reversals: 80, spinningS: 9 }, 'Beginner', false)]);
    expect(find(plan.items, 'strays')).toMatchObject({ have: 0, status: 'missing' });
    expect(find(plan.items, 'spin', 'Beginner').status).toBe('missing');
  });

  test('presses that only lack a label are offered as the shortest way', () => {
    const { items } = planDrills([take({ unlabelledInSpin: 12, unlabelledElsewhere: 1 })]);
    expect(shortcutText(find(items, 'strays'))).toContain('12 presses');
    expect(shortcutText(find(items, 'wanted'))).toContain('1 press outside');
    const done = find(planDrills([take({ straysInSpin: 59, unlabelledInSpin: 3 })]).items, 'strays');
    expect(shortcutText(done)).toBe('');
  });

  test('stray presses outside every spin are told of, since they do not count', () => {
    const { items } = planDrills([take({ straysInSpin: 50, straysElsewhere: 8 })]);
    expect(find(items, 'strays')).toMatchObject({ have: 50, status: 'missing' });
    expect(shortcutText(find(items, 'strays'))).toBe('8 stray presses outside every spin do not count here.');
  });

  // A sweep that finds no lowest speed asks for the same.
  test('the carry asks for what tells how low the speeds may go, and says what of it is counted', () => {
    const { how, why } = DRILL_WORDS.carry;
    expect(how).toMatch(
      /briskly\. Press the power button .* label those presses wanted\. .*Counted: the time/,
    );
    expect(why).toContain('how low the speeds may go');
    // A carry alone would not be counted: its take holds no swing.
    const alone = planDrills([take({ carryS: 242 }, 'Lead spinner', false)]);
    expect(find(alone.items, 'carry').have).toBe(0);
    expect(how).toContain('Swing once in the same take: one without a swing counts for nothing.');
    const noLimit = { axis: 'x', by: -1, last: 90, beyond: null, worse: {} } as const;
    const press = borderText('guard', noLimit, []);
    expect(press).toMatch(/wanted presses in a brisk carry might\.$/);
    const fire = borderText('deflection', noLimit, []);
    expect(fire).toMatch(/a brisk carry might bring some\.$/);
  });

  test('one take with both kinds of presses cannot be checked on another', () => {
    const both = take({ straysInSpin: 5, wantedAfterStop: 5 });
    expect(find(planDrills([both]).items, 'takes')).toMatchObject({ have: 1, status: 'missing' });
    expect(find(planDrills([both, both]).items, 'takes').status).toBe('done');
  });
});

describe('takeStock', () => {
  const RATE_HZ = 100;
  // Rest to 1 s; four swings to and fro to 3 s; carried to 5 s; one swing from 5 to 5.5 s; rest to 12 s.
  const speed = Float64Array.from({ length: 1200 }, (_, i) => {
    if (i >= 100 && i < 300) return 500 * Math.sin((Math.PI * (i - 100)) / 50);
    if (i >= 300 && i < 500) return 30;
    return i >= 500 && i < 550 ? 400 * Math.sin((Math.PI * (i - 500)) / 50) : 0;
  });
  const motion = fakeMotion(speed, { rateHz: RATE_HZ });
  motion.stillMask.fill(1, 0, 100);
  motion.stillMask.fill(1, 600, 1200);
  const press = (downMs: number) => ({ button: 'power', downUs: downMs * 1000, upUs: null });
  const presses = [
    press(1500),
    press(2000),
    press(4000),
    press(6000),
    press(11_000),
    press(2500),
    press(7000),
  ];
  const label = (downMs: number, intent: 'wanted' | 'stray', by: 'person' | 'program' = 'person') => ({
    downUs: downMs * 1000,
    button: 'power',
    intent,
    by,
  });
  const labels: Labels = {
    ...EMPTY_LABELS,
    presses: [
      label(1500, 'stray'),
      label(2000, 'stray', 'program'),
      label(4000, 'stray'),
      label(6000, 'wanted'),
      label(11_000, 'wanted'),
    ],
    gestures: [{ startUs: 9_000_000, endUs: 9_100_000, kind: 'hit', by: 'person' }],
  };
  const stock = takeStock(motion, findTruth(motion, labels), labels, presses);

  test('tells presses in a spin from others, wanted ones after a stop from those at rest, and counts the unlabelled', () => {
    expect(stock).toMatchObject({
      straysInSpin: 2,
      straysElsewhere: 1,
      wantedAfterStop: 1,
      wantedAtRest: 1,
      unlabelledInSpin: 1,
      unlabelledElsewhere: 1,
      pressesByProgram: 1,
    });
  });

  test('counts swings outside the spin, its reversals, and labelled gestures', () => {
    expect(stock).toMatchObject({ singleSwings: 1, reversals: 3, hits: 1, thrusts: 0, twists: 0 });
    // No span is labelled: the program proposed this spin. Somebody who labels it has confirmed its reversals.
    expect(stock.reversalsProposed).toBe(3);
    const [spin] = findTruth(motion, labels).spinning;
    const confirmed: Labels = { ...labels, spans: [{ ...spin!, kind: 'spinning', by: 'person' }] };
    expect(takeStock(motion, findTruth(motion, confirmed), confirmed, presses)).toMatchObject({
      reversals: 3,
      reversalsProposed: 0,
    });
    expect(stock.spinningS).toBeGreaterThan(1.8);
    expect(stock.spinningS).toBeLessThan(2.2);
  });

  test('rest is rest, and slow handling without a swing is carrying', () => {
    expect(stock.stillS).toBeCloseTo(7, 1);
    expect(stock.carryS).toBeGreaterThan(1.9);
    expect(stock.carryS).toBeLessThan(3);
  });
});
