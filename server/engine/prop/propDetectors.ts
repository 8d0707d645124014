import { mountMatrix } from '../base/mount.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import { DeflectionDetector } from '../detect/deflection.ts';
import { DeflectionButton } from '../detect/deflectionButton.ts';
import { GuardDetector } from '../detect/guard.ts';
import { ImpactDetector } from '../detect/impact.ts';
import { PowerButton } from '../detect/powerButton.ts';
import { StabDetector, stabHitSettings } from '../detect/stab.ts';
import { TwistDial } from '../detect/twistDial.ts';
import { TwistTrigger } from '../detect/twistTrigger.ts';
import { makeSmoother, type Smoother } from '../filter/smoothing.ts';
import { BladeFollower } from '../motion/bladeFollower.ts';
import { ImpactMeter } from '../motion/impact.ts';
import { hearsImpact } from '../motion/signals.ts';
import { SwingSpeed } from '../motion/swingSpeed.ts';
import { TwistAngle } from '../motion/twist.ts';
import type { Candidate } from '../settings/candidate.ts';
import { RestBias } from './restBias.ts';

/**
 * All detectors of a candidate as a prop runs them: one `step` a sample, from what the sensor gives to what the prop does.
 * With the bias that a take is given, the same to the bit as its signals and events. The C reference says the same.
 */
export class PropDetectors {
  swingSpeedDps = 0;
  thrustG = 0;
  impactG = 0;
  /** Turned about the blade since the start that the candidate names. */
  twistDeg = 0;
  isStill = false;
  isGuardClosed = false;
  deflects = false;
  impacts = false;
  stabs = false;
  twists = false;
  dialSteps = 0;
  /** A press of the power button begins; it acts, or is refused for good. */
  powerBegins = false;
  powerActs = false;
  powerRefused = false;

  private readonly matrix: Float64Array;
  private readonly accelScale: number;
  private readonly startAt: Candidate['twist']['startAt'];
  private readonly bias: RestBias | null;
  private biasXDps = 0;
  private biasYDps = 0;
  private biasZDps = 0;
  private readonly speed: SwingSpeed;
  private readonly blade: BladeFollower;
  private readonly thrust: Smoother;
  private readonly meter: ImpactMeter | null;
  private readonly angle: TwistAngle;
  private readonly guard: GuardDetector;
  private readonly deflection: DeflectionDetector;
  /** null where deflections are always on. */
  private readonly deflectionButton: DeflectionButton | null;
  private readonly impact: ImpactDetector;
  private readonly hit: ImpactDetector;
  private readonly stab: StabDetector;
  private readonly trigger: TwistTrigger;
  private readonly dial: TwistDial;
  private readonly button: PowerButton;
  private isFirst = true;

  /**
   * @param calibration  its bias is not looked at. @param findsBias  whether the bias is found at rests, by the prop
   * itself; else it is what `setBias` says.
   */
  constructor(
    candidate: Candidate,
    { mount, accelScale, leverArmM }: Pick<Calibration, 'mount' | 'accelScale' | 'leverArmM'>,
    rateHz: number,
    findsBias: boolean,
  ) {
    const { smoothing, guard, deflection, impact, stab, twist } = candidate;
    this.matrix = mountMatrix(mount);
    this.accelScale = accelScale;
    this.startAt = twist.startAt;
    this.bias = findsBias ? new RestBias(rateHz) : null;
    this.speed = new SwingSpeed(smoothing, rateHz);
    this.blade = new BladeFollower(rateHz, leverArmM);
    this.thrust = makeSmoother(smoothing, rateHz);
    this.meter = hearsImpact(impact.highPassHz, rateHz) ? new ImpactMeter(impact.highPassHz, rateHz) : null;
    this.angle = new TwistAngle(rateHz);
    this.guard = new GuardDetector(guard, rateHz);
    this.deflection = new DeflectionDetector(deflection, rateHz);
    this.deflectionButton =
      deflection.switchedOn === 'held' ? new DeflectionButton(deflection, rateHz) : null;
    this.impact = new ImpactDetector(impact, rateHz);
    this.hit = new ImpactDetector(stabHitSettings(stab, impact), rateHz);
    this.stab = new StabDetector(stab, rateHz);
    this.trigger = new TwistTrigger(twist, rateHz);
    this.dial = new TwistDial(twist, rateHz);
    this.button = new PowerButton(guard, rateHz);
  }

  /** The blade's attitude, to be looked at: qEarthFromBody, the heading arbitrary. */
  get q(): BladeFollower['q'] {
    return this.blade.q;
  }

  /** The gyro's bias from the next sample on, sensor frame, deg/s. */
  setBias(xDps: number, yDps: number, zDps: number): void {
    this.biasXDps = xDps;
    this.biasYDps = yDps;
    this.biasZDps = zDps;
  }

  /**
   * One sample as the sensor gives it: deg/s and g, sensor frame.
   * @param wentDown  whether any button has gone down since the last sample, or at this one. @param isPowerDown  whether the
   * power button is down, @param isDeflectionDown  and the one that deflections may wait for.
   */
  step(
    gx: number,
    gy: number,
    gz: number,
    ax: number,
    ay: number,
    az: number,
    wentDown: boolean,
    isPowerDown = false,
    isDeflectionDown = false,
  ): void {
    if (this.bias?.step(gx, gy, gz, ax, ay, az)) this.setBias(this.bias.xDps, this.bias.yDps, this.bias.zDps);
    const { matrix: m, accelScale: s, biasXDps, biasYDps, biasZDps } = this;
    const turned = (k: number, x: number, y: number, z: number) => m[k]! * x + m[k + 1]! * y + m[k + 2]! * z;
    const biasless = (k: number) => turned(k, gx, gy, gz) - turned(k, biasXDps, biasYDps, biasZDps);
    const scaled = (k: number) => s * m[k]! * ax + s * m[k + 1]! * ay + s * m[k + 2]! * az;
    this.follow(biasless(0), biasless(3), biasless(6), scaled(0), scaled(3), scaled(6), wentDown);
    this.detect(this.deflectionButton?.step(isDeflectionDown) ?? true);
    this.button.step(isPowerDown, this.isGuardClosed);
    this.powerBegins = this.button.begins;
    this.powerActs = this.button.acts;
    this.powerRefused = this.button.refuses;
    this.isFirst = false;
  }

  /** A gap, or a start: all is forgotten but the bias. */
  reset(): void {
    this.isFirst = true;
    this.bias?.reset();
    for (const part of [this.speed, this.blade, this.thrust, this.angle, this.guard, this.deflection])
      part.reset();
    for (const part of [this.impact, this.hit, this.stab, this.trigger, this.dial, this.button]) part.reset();
    this.meter?.reset();
    this.deflectionButton?.reset();
  }

  private follow(
    gx: number,
    gy: number,
    gz: number,
    ax: number,
    ay: number,
    az: number,
    wentDown: boolean,
  ): void {
    this.swingSpeedDps = this.speed.step(gy, gz);
    this.blade.step(gx, gy, gz, ax, ay, az);
    this.isStill = this.blade.isStill;
    this.thrustG = this.thrust.step(this.blade.thrustG);
    this.impactG = this.meter?.step(ax, ay, az) ?? 0;
    const isStart = (this.startAt === 'rest' && this.isStill) || (this.startAt === 'hold' && wentDown);
    this.angle.step(gx, gy, gz, isStart);
    this.twistDeg = this.angle.turnedDeg;
    if (!isStart && !this.isFirst) return;
    this.trigger.reset();
    this.dial.reset();
  }

  private detect(areDeflectionsOn: boolean): void {
    const { swingSpeedDps, thrustG, impactG, twistDeg } = this;
    this.isGuardClosed = this.guard.step(swingSpeedDps);
    this.deflects = this.deflection.step(swingSpeedDps, areDeflectionsOn);
    this.impacts = this.impact.step(impactG, swingSpeedDps);
    this.stabs = this.stab.step(thrustG, swingSpeedDps, this.hit.step(impactG, swingSpeedDps));
    this.twists = this.trigger.step(twistDeg, swingSpeedDps);
    this.dialSteps = this.dial.step(twistDeg);
  }
}
