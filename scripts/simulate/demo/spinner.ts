import { type Choreographed, Choreography } from '../choreography.ts';
import { carry, loopingEight, lyingEight, reversals } from '../moves.ts';
import { begin, end, out, outAndOn, strayAtTurn, strayMidSwing } from './session.ts';

const HANDS = { tremorDps: 2, tremorMps2: 0.12, swayDeg: 0.9, spread: 0.09 };
const STAND = { heading: 15, tilt: 4, bank: 10 };

/** A lying eight at an easy pace, four times with a stop between. */
export function slowEight(): Choreographed {
  const c = new Choreography(101, HANDS);
  const ready = { heading: 0, tilt: -12, bank: 0, swing: 8 };
  begin(c, STAND, ready);
  const paces = [
    { hz: 0.9, durationS: 10, strayEnds: [5, 11], mid: [8], offS: 0.9 },
    { hz: 0.82, durationS: 9.5, strayEnds: [7], mid: [4, 11], offS: 0.26 },
    { hz: 0.97, durationS: 10, strayEnds: [9, 14], mid: [6], offS: 0.75 },
    { hz: 0.87, durationS: 10, strayEnds: [6], mid: [10], offS: 1.1 },
  ];
  paces.forEach((pace, k) => {
    const shape = { azimuthDeg: c.about(70), elevationDeg: c.about(15), ...pace, rampS: 0.45 };
    const startS = c.nowS;
    const ends = c.marked('slow figure-eight', () => lyingEight(c, shape));
    c.mark('spinning', startS + 0.25, c.nowS - 0.25);
    for (const at of pace.strayEnds) strayAtTurn(c, ends[at]!);
    for (const at of pace.mid) strayMidSwing(c, (ends[at]! + ends[at + 1]!) / 2 + c.between(-0.05, 0.05));
    if (k < paces.length - 1) outAndOn(c, pace.offS);
    else out(c, pace.offS);
  });
  end(c, STAND);
  return c.finish();
}

/** Whole loops from side to side, fast, with the direction changed in mid-spin. */
export function fastEight(): Choreographed {
  const c = new Choreography(202, HANDS);
  const ready = { heading: 0, tilt: 0, bank: 90, swing: 40 };
  begin(c, { ...STAND, bank: 80 }, ready);
  const sets = [
    { dps: [600, -620], strayAfter: [1.5], strayTurn: [0.02], offS: 0.8 },
    { dps: [650, -660, 640], strayAfter: [2.2, 6.1], strayTurn: [0.03], offS: 0.6 },
    { dps: [-640, 690], strayAfter: [3.4], strayTurn: [0.075], offS: 0.27 },
    { dps: [800, -790], strayAfter: [1.1, 4.6], strayTurn: [-0.01], offS: 1.0 },
  ];
  sets.forEach((set, k) => {
    const startS = c.nowS;
    const turns: number[] = [];
    c.marked('fast figure-eight', () => {
      for (const dps of set.dps) {
        loopingEight(c, { dps: c.about(dps), durationS: c.between(3, 3.8), rampS: c.between(0.19, 0.24) });
        turns.push(c.nowS);
      }
    });
    c.mark('spinning', startS + 0.1, c.nowS - 0.1);
    set.strayTurn.forEach((offset, i) => {
      strayAtTurn(c, turns[i]!, offset);
    });
    for (const after of set.strayAfter) strayMidSwing(c, startS + after);
    if (k < sets.length - 1) outAndOn(c, set.offS);
    else out(c, set.offS);
  });
  end(c, { ...STAND, bank: 90 });
  return c.finish();
}

/** Out and straight back in the plane of a wall: at every turn the blade all but stands still. */
export function wallPlane(): Choreographed {
  const c = new Choreography(303, HANDS);
  const stand = { ...STAND, bank: 85 };
  begin(c, stand, { heading: 5, tilt: 0, bank: 90, swing: 15 });
  const sets = [
    { deg: 150, swingS: 0.42, count: 12, strayTurns: [[4, 0.02]], mid: [8], offS: 0.8 },
    { deg: 165, swingS: 0.47, count: 12, strayTurns: [[3, 0.03]], mid: [6, 9], offS: 0.27 },
    { deg: 140, swingS: 0.44, count: 14, strayTurns: [[5, 0.055]], mid: [10], offS: 0.65 },
    { deg: 155, swingS: 0.38, count: 14, strayTurns: [[4, 0.0]], mid: [8], offS: 1.2 },
    { deg: 145, swingS: 0.46, count: 12, strayTurns: [[7, 0.085]], mid: [], offS: 0.7 },
  ] as const;
  sets.forEach((set, k) => {
    const startS = c.nowS;
    const turns = c.marked('wall-plane reversals', () => reversals(c, set.deg, set.swingS, set.count));
    c.mark('spinning', startS, c.nowS);
    for (const [turn, offset] of set.strayTurns) strayAtTurn(c, turns[turn]!, offset);
    for (const turn of set.mid) strayMidSwing(c, (turns[turn]! + turns[turn + 1]!) / 2);
    if (k < sets.length - 1) outAndOn(c, set.offS);
    else out(c, set.offS);
    c.wait(c.between(0.4, 1.2));
  });
  end(c, stand);
  return c.finish();
}

/** A whole routine, start to end: walk on, eights, reversals, loops, a long stop, walk off. */
export function routine(): Choreographed {
  const c = new Choreography(404, HANDS);
  const stand = { ...STAND, bank: 60 };
  begin(c, stand, { heading: 0, tilt: 0, bank: 90, swing: -30 });
  c.marked('slow carry', () => carry(c, 6));
  c.moveTo({ bank: 0, tilt: -10, swing: 0 }, 1.5);
  spinPart(c, 'slow figure-eight', 0.3, () => {
    const ends = lyingEight(c, { azimuthDeg: 70, elevationDeg: 15, hz: 0.92, durationS: 13, rampS: 0.45 });
    strayAtTurn(c, ends[8]!, 0.02);
    strayMidSwing(c, (ends[13]! + ends[14]!) / 2);
  });
  outAndOn(c, 0.7);
  c.moveTo({ bank: 90, tilt: 0, swing: 20 }, 1.1);
  spinPart(c, 'wall-plane reversals', 0, () => {
    const turns = reversals(c, 150, 0.43, 13);
    strayAtTurn(c, turns[4]!, 0.01);
    strayMidSwing(c, (turns[8]! + turns[9]!) / 2);
    strayAtTurn(c, turns[10]!, 0.05);
  });
  c.wait(0.35);
  c.press('effect', c.nowS, 'wanted', 'an effect at a stop');
  c.wait(1.1);
  spinPart(c, 'fast figure-eight', 0.1, () => {
    loopingEight(c, { dps: 640, durationS: 4.2, rampS: 0.22 });
    strayAtTurn(c, c.nowS, 0.02);
    loopingEight(c, { dps: -660, durationS: 4.4, rampS: 0.22 });
    // the plane changes before the next set: a longer pause than any reversal
    c.wait(0.1);
    strayAtTurn(c, c.nowS, 0.04);
    loopingEight(c, { dps: 620, durationS: 4, rampS: 0.24 });
  });
  outAndOn(c, 0.28);
  c.marked('slow carry', () => carry(c, 8));
  c.moveTo({ bank: 90, tilt: 0, swing: 10 }, 1.1);
  spinPart(c, 'wall-plane reversals', 0, () => {
    const turns = reversals(c, 160, 0.4, 15);
    strayAtTurn(c, turns[6]!, 0.03);
    strayMidSwing(c, (turns[11]! + turns[12]!) / 2);
  });
  out(c, 0.85);
  c.marked('slow carry', () => carry(c, 5));
  end(c, stand);
  return c.finish();
}

function spinPart(c: Choreography, kind: string, rampS: number, moves: () => void): void {
  const startS = c.nowS;
  c.marked(kind, moves);
  c.mark('spinning', startS + rampS, c.nowS - rampS);
}
