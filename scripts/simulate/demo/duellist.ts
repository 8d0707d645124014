import { type Choreographed, Choreography } from '../choreography.ts';
import { knock, thrust } from '../contact.ts';
import { carry, loopingEight, reversals, swing, twist } from '../moves.ts';
import { begin, end, out, outAndOn, strayAtTurn, strayMidSwing } from './session.ts';

const HANDS = { tremorDps: 1.6, tremorMps2: 0.1, swayDeg: 0.7, spread: 0.1 };
const STAND = { heading: -20, tilt: 3, bank: 20 };
const GUARD = { heading: 0, tilt: -25, bank: 0, swing: 0 };

/** Single hard parries that meet another blade, each back to guard; a short flourish at the end. */
export function parryDrill(): Choreographed {
  const c = new Choreography(505, HANDS);
  begin(c, STAND, GUARD);
  const strays = new Map([
    [3, 'mid'],
    [6, 'turn'],
    [9, 'mid'],
    [11, 'turn'],
  ]);
  for (let k = 0; k < 14; ++k) {
    const side = k % 2 === 0 ? 1 : -1;
    c.marked('parry', () => parry(c, side, k % 4 !== 3, strays.get(k)));
    if (k === 4) outAndOn(c, 0.62);
    else if (k === 8) outAndOn(c, 0.31);
    else c.wait(c.between(0.7, 1.2));
  }
  c.moveTo({ bank: 90, tilt: 0 }, 1);
  const startS = c.nowS;
  c.marked('flourish', () => {
    loopingEight(c, { dps: 620, durationS: 2.9, rampS: 0.25 });
    strayMidSwing(c, startS + 1.4);
  });
  c.mark('spinning', startS + 0.1, c.nowS - 0.1);
  out(c, 0.9);
  end(c, STAND);
  return c.finish();
}

function parry(c: Choreography, side: 1 | -1, meetsBlade: boolean, stray: string | undefined): void {
  const deg = side * c.between(95, 130);
  const startS = c.nowS;
  const { endS } = swing(c, deg, c.between(0.27, 0.36));
  const hitS = startS + 0.66 * (endS - startS);
  if (meetsBlade) knock(c, hitS, -side * c.between(6, 12));
  if (stray === 'mid') strayMidSwing(c, (startS + endS) / 2 - 0.03);
  if (stray === 'turn') strayAtTurn(c, endS, 0.04);
  c.wait(0.12);
  swing(c, -deg + c.between(-4, 4), c.between(0.55, 0.75));
}

/** Thrusts into a pad, thrusts that fall short of it, and plain cuts between, which must not read as thrusts. */
export function thrustLine(): Choreographed {
  const c = new Choreography(606, HANDS);
  begin(c, STAND, GUARD);
  c.marked('slow carry', () => carry(c, 5));
  c.moveTo(GUARD, 1.2);
  const drivesG = [2.2, 2.6, 1.9, 2.9, 2.3, 2.5, 1.55, 2.1, 2.8, 2.4, 3, 2, 2.7, 1.8];
  drivesG.forEach((driveG, k) => {
    const padG = k === 4 || k === 9 ? null : c.between(6, 12);
    c.marked('thrust', () => thrust(c, { driveG, driveS: c.between(0.1, 0.14), padG }));
    c.wait(c.between(0.3, 0.7));
    if (k % 4 === 2) c.marked('cut', () => cutPair(c, k === 6));
    if (k === 5) outAndOn(c, 0.7);
  });
  out(c, 0.6);
  end(c, STAND);
  return c.finish();
}

function cutPair(c: Choreography, withStray: boolean): void {
  const turns = reversals(c, c.between(110, 140), 0.32, 2);
  if (withStray) strayAtTurn(c, turns[0]!, 0.02);
  c.wait(c.between(0.5, 0.8));
}

/** Twists of the held blade as a dial, quick twists as a trigger, and swings and a walk that must turn neither. */
export function twistDial(): Choreographed {
  const c = new Choreography(707, HANDS);
  begin(c, STAND, { ...GUARD, tilt: -5 });
  for (const deg of [45, -30, 60, -75, 90, -90, 30, -120]) {
    c.marked('twist', () => {
      const downS = c.nowS;
      c.wait(0.35);
      twist(c, deg, c.about(Math.abs(deg) / 100 + 0.35));
      c.wait(0.4);
      c.press('effect', downS, 'wanted', 'held while the blade is turned as a dial', c.nowS - downS);
      c.wait(0.3);
    });
    turnBack(c);
  }
  outAndOn(c, 0.5);
  for (const deg of [95, -105, 110]) {
    c.marked('quick twist', () => twist(c, deg, c.about(0.38)));
    c.wait(0.5);
    turnBack(c);
  }
  c.marked('cut', () => reversals(c, 120, 0.36, 4));
  c.wait(0.8);
  c.marked('slow carry', () => carry(c, 6));
  out(c, 0.7);
  end(c, STAND);
  return c.finish();
}

/** Back to where the twist began, too slowly for a quick twist. */
function turnBack(c: Choreography): void {
  const back = -c.joints.twist.settled();
  const durationS = Math.abs(back) / 40 + 0.3;
  c.turn('twist', back, durationS);
  c.wait(durationS + 0.3);
}
