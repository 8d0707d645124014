import type { Choreography } from '../choreography.ts';
import type { JointName } from '../joints.ts';
import { onStand } from '../moves.ts';
import { minimumJerk } from '../piece.ts';

type Pose = Partial<Record<JointName, number>>;

/** Two seconds on the stand, into the hand, and the first press, which lights the blade. */
export function begin(c: Choreography, stand: Pose, ready: Pose): void {
  c.startAt(stand);
  onStand(c, 2);
  c.takeInHand();
  c.moveHand([0.2, 0, 0.9], minimumJerk(c.nowS, 1.6, 0.4));
  c.moveTo(ready, 1.6);
  c.wait(0.7);
  c.press('power', c.nowS, 'wanted', 'lights the blade, at rest');
  c.wait(c.between(0.6, 0.9));
}

/** Back onto the stand, and still. */
export function end(c: Choreography, stand: Pose): void {
  c.moveTo(stand, 1.8);
  c.wait(0.3);
  c.putDown();
  onStand(c, 1.5);
}

/** After a stop: the press that puts the blade out, `offAfterS` after the last swing, and the one that lights it again. */
export function outAndOn(c: Choreography, offAfterS: number): void {
  c.press(
    'power',
    c.nowS + offAfterS,
    'wanted',
    `puts the blade out, ${offAfterS.toFixed(2)} s after a stop`,
  );
  c.wait(offAfterS + c.between(0.7, 1.1));
  c.press('power', c.nowS, 'wanted', 'lights the blade again, at rest');
  c.wait(c.between(0.5, 0.8));
}

/** The last press, which puts the blade out. */
export function out(c: Choreography, offAfterS: number): void {
  c.press(
    'power',
    c.nowS + offAfterS,
    'wanted',
    `puts the blade out, ${offAfterS.toFixed(2)} s after a stop`,
  );
  c.wait(offAfterS + 0.8);
}

/** A thumb that strays onto the power button as the hand turns round. */
export function strayAtTurn(c: Choreography, turnS: number, offsetS = c.between(-0.02, 0.04)): void {
  c.press('power', turnS + offsetS, 'stray', 'the thumb strays as the hand turns round');
}

/** The same in the midst of a swing. */
export function strayMidSwing(c: Choreography, atS: number): void {
  c.press('power', atS, 'stray', 'the thumb strays in mid-swing');
}
