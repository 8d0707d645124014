import { type Choreographed, Choreography } from '../choreography.ts';
import { carry, reversals, swing } from '../moves.ts';
import { begin, end, out, outAndOn, strayAtTurn, strayMidSwing } from './session.ts';

const HANDS = { tremorDps: 4, tremorMps2: 0.25, swayDeg: 2, spread: 0.14 };
const STAND = { heading: 30, tilt: 2, bank: 85 };

/** A first lesson: a walk, gentle single swings with long stops, first reversals, all between 200 and 350 deg/s. */
export function firstLesson(): Choreographed {
  const c = new Choreography(808, HANDS);
  begin(c, STAND, { heading: 0, tilt: 0, bank: 90, swing: 30 });
  c.marked('slow carry', () => carry(c, 8));
  c.moveTo({ swing: 50, tilt: 0, bank: 90 }, 1.4);
  const strayAt = new Set([3, 7, 12]);
  for (let k = 0; k < 16; ++k) {
    const side = k % 2 === 0 ? -1 : 1;
    c.marked('first swings', () => {
      const { peakS } = swing(c, side * c.between(74, 100), c.between(0.58, 0.68));
      if (strayAt.has(k)) strayMidSwing(c, peakS + (k === 7 ? -0.16 : 0.02));
    });
    if (k === 5 || k === 10) outAndOn(c, c.between(0.9, 1.6));
    else c.wait(c.between(0.7, 1.4));
  }
  c.marked('slow carry', () => carry(c, 6));
  c.moveTo({ swing: 40, tilt: 0, bank: 90 }, 1.2);
  const sets = [
    { count: 6, stray: 2 },
    { count: 8, stray: 4 },
    { count: 8, stray: 3 },
  ];
  for (const { count, stray } of sets) {
    const startS = c.nowS;
    const turns = c.marked('first reversals', () => reversals(c, 88, 0.58, count));
    c.mark('spinning', startS, c.nowS);
    strayAtTurn(c, turns[stray]!, 0.03);
    if (count === 6) strayMidSwing(c, (turns[3]! + turns[4]!) / 2);
    outAndOn(c, c.between(0.8, 1.3));
  }
  out(c, 1.2);
  end(c, STAND);
  return c.finish();
}
