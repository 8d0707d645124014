import { describe, expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import {
  DeflectionDetector,
  type DeflectionSettings,
  runDeflection,
} from '../../../server/engine/detect/deflection.ts';
import { DeflectionButton, whenSwitchedOn } from '../../../server/engine/detect/deflectionButton.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { rateTrace, splitAt } from './traces.ts';

const RATE_HZ = 100;
const STEP_US = 10_000;
const settings = (change: Partial<DeflectionSettings> = {}): DeflectionSettings => ({
  speedDps: 240,
  rearmRatio: 0.6,
  restMs: 0,
  confirmMs: 0,
  switchedOn: 'held',
  debounceMs: 0,
  ...change,
});

/** One character per 10 ms: 'H' is fast enough, 'm' keeps it disarmed, '.' stands still. */
const SPEED: Readonly<Record<string, number>> = { H: 300, m: 200, '.': 0 };

/** Presses of a track of samples, '#' down: each from the first sample that is down to the first that is up. */
function pressesOf(track: string): Press[] {
  return [...track.matchAll(/#+/g)].map(({ index, 0: run }) => ({
    button: 'held',
    downUs: index * STEP_US,
    upUs: (index + run.length) * STEP_US,
  }));
}

function signalsOf(trace: string, track: string) {
  const signals = fakeSignals({ swingSpeedDps: [...trace].map((c) => SPEED[c]!) }, { rateHz: RATE_HZ });
  return { ...signals, deflectionPresses: pressesOf(track) };
}

describe('deflections while a button is held', () => {
  test.each<[string, Partial<DeflectionSettings>, string, string, number[]]>([
    ['a swing with the button up fires nothing', {}, '.HHH.', '     ', []],
    ['a swing with the button down fires once', {}, '.HHH.', '#####', [1]],
    ['a swing that runs as the button goes down fires then', {}, '.HHHH.', '   ###', [3]],
    ['letting go and pressing again in one swing fires no second time', {}, '.HHHHH.', ' # ### ', [1]],
    ['not even if the blade has slowed a little', {}, '.HHmHH.', ' # ### ', [1]],
    ['the blade comes down with the button up: the next swing fires', {}, '.HH.HH.', ' #  ###', [1, 4]],
    ['let go before the swing is fast enough', {}, '..HH..', '##    ', []],
    ['let go while it is confirmed: nothing', { confirmMs: 20 }, '.HHHH.', '###   ', []],
    [
      'both have to last together, in whichever order they began',
      { confirmMs: 20 },
      '.HHHHH.',
      '  #### ',
      [4],
    ],
    [
      'a swing too soon for the rest is swallowed and disarms',
      { restMs: 100 },
      '.H.HHHHHHHHH.',
      ' ########### ',
      [1],
    ],
    ['the rest goes on with the button up', { restMs: 60 }, '.H.H....H.', ' ##     ##', [1, 8]],
    [
      'a swing with the button up takes nothing from the next',
      { restMs: 100 },
      '.H..H.....',
      '   ###    ',
      [4],
    ],
    ['a bounce in a swing confirms on', { confirmMs: 30, debounceMs: 20 }, '.HHHHHH.', ' # # ### ', [4]],
    ['without a debounce it begins anew', { confirmMs: 30 }, '.HHHHHHHHH.', ' # # ##### ', [8]],
    ['on for the debounce after it is let go', { debounceMs: 20 }, '....HH..', ' ##     ', [4]],
    ['and no longer', { debounceMs: 20 }, '.....HH.', ' ##     ', []],
    ['a time between samples counts whole ones', { debounceMs: 11 }, '....HH..', ' ##     ', [4]],
  ])('%s', (_name, change, trace, track, expected) => {
    expect([...runDeflection(signalsOf(trace, track), settings(change))!]).toEqual(expected);
  });

  test('always on, the button makes no difference', () => {
    const always = settings({ switchedOn: 'always' });
    expect([...runDeflection(signalsOf('.HH.HH.', '       '), always)!]).toEqual([1, 4]);
    expect([...runDeflection({ ...signalsOf('.HH.HH.', ''), deflectionPresses: null }, always)!]).toEqual([
      1, 4,
    ]);
  });

  test('a gap forgets the debounce, not a button that is still down', () => {
    const segments = [
      { start: 0, end: 3 },
      { start: 3, end: 6 },
    ];
    const speed = [0, 0, 0, 300, 300, 0];
    const grid = fakeSignals({ swingSpeedDps: speed }, { rateHz: RATE_HZ, segments, gapUs: 50_000 });
    const on = (upUs: number) =>
      whenSwitchedOn(
        { ...grid, deflectionPresses: [{ button: 'held', downUs: 10_000, upUs }] },
        settings({ debounceMs: 100 }),
      );
    expect(on(20_000)).toEqual(Uint8Array.of(0, 1, 1, 0, 0, 0));
    expect(on(80_000)).toEqual(Uint8Array.of(0, 1, 1, 1, 1, 1));
  });
});

describe('when nobody knows', () => {
  const known = { ...signalsOf('.HH.HH.', ''), deflectionPresses: [] as Press[] };
  const press = (downUs: number, upUs: number | null): Press => ({ button: 'held', downUs, upUs });
  test.each<[string, readonly Press[] | null, string]>([
    ['no such button', null, 'unknown'],
    ['no release at all', [press(0, null)], 'unknown'],
    [
      'a release that is missing in the middle',
      [press(0, 1), press(10_000, null), press(20_000, 30_000)],
      'unknown',
    ],
    ['held to the end, in a log that tells of releases', [press(0, 10_000), press(40_000, null)], '1000111'],
    ['never pressed', [], '0000000'],
  ])('%s', (_name, deflectionPresses, expected) => {
    const on = whenSwitchedOn({ ...known, deflectionPresses }, settings());
    expect(typeof on === 'string' ? on : on.join('')).toBe(expected);
  });

  test('a debounce out of bounds is refused by name, whether it matters or not', () => {
    for (const switchedOn of ['always', 'held'] as const)
      expect(() => runDeflection(known, settings({ switchedOn, debounceMs: Number.NaN }))).toThrow(
        'deflection.debounceMs',
      );
  });
});

describe('on any trace', () => {
  const track = fc.array(fc.boolean(), { minLength: 60, maxLength: 60 });
  const change = fc.record({
    restMs: fc.integer({ min: 0, max: 120 }),
    confirmMs: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 40 })),
    debounceMs: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 40 })),
  });

  test('a sample at a time it comes to what the whole log comes to, segment by segment', () => {
    fc.assert(
      fc.property(rateTrace, track, change, fc.infiniteStream(fc.nat()), (trace, down, changed, cuts) => {
        const segments = splitAt(trace.length, cuts);
        const grid = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ, segments });
        // A press for each sample that is down, up at the next: one that goes on is down at once again.
        const deflectionPresses = [...grid.timeUs].flatMap((downUs, i) =>
          down[i] ? [{ button: 'held', downUs, upUs: downUs + 1 }] : [],
        );
        const held = settings(changed);
        const button = new DeflectionButton(held, RATE_HZ);
        const detector = new DeflectionDetector(held, RATE_HZ);
        const streamed = segments.flatMap(({ start, end }) => {
          button.reset();
          detector.reset();
          return trace
            .slice(start, end)
            .flatMap((v, i) => (detector.step(v, button.step(down[start + i]!)) ? [start + i] : []));
        });
        expect([...runDeflection({ ...grid, deflectionPresses }, held)!]).toEqual(streamed);
      }),
    );
  });

  test('where the button is down all through, it is as if deflections were always on', () => {
    fc.assert(
      fc.property(rateTrace, change, (trace, changed) => {
        const grid = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ });
        const deflectionPresses = [{ button: 'held', downUs: 0, upUs: 1e9 }];
        const always = runDeflection(grid, settings({ ...changed, switchedOn: 'always' }));
        expect(runDeflection({ ...grid, deflectionPresses }, settings(changed))).toEqual(always);
      }),
    );
  });

  test('nothing fires at a sample at which they are off', () => {
    fc.assert(
      fc.property(rateTrace, track, change, (trace, down, changed) => {
        const grid = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ });
        const deflectionPresses = pressesOf(down.map((isDown) => (isDown ? '#' : ' ')).join(''));
        const signals = { ...grid, deflectionPresses };
        const on = whenSwitchedOn(signals, settings(changed)) as Uint8Array;
        for (const fire of runDeflection(signals, settings(changed))!) expect(on[fire]).toBe(1);
      }),
    );
  });
});
