import { type LeverLine, MOUNT_GOOD_DEG } from '../../check/lever.ts';
import type { BiasLine, ForceMistake, NoiseLine, RestForceLine } from '../../check/rest.ts';
import { counted, figure, lasting, percent, withHalf } from '../count.ts';
import { otherAxesText } from '../mount.ts';
import type { LineWords } from './lineWords.ts';

const RECORD_REST = 'Begin each take with two seconds at rest on a table.';

export function biasWords({ bias, spanUs, isDrifting }: BiasLine): LineWords {
  if (!bias)
    return [
      'No second at rest, on a table and not in the hand: the gyro’s bias is not known and is taken as 0.',
      RECORD_REST,
      'twist angles, and slow speeds',
    ];
  const { dps, halfDps, driftDps, restS, stretches } = bias;
  const axes = dps.map((part, k) => withHalf(part, halfDps[k]!)).join(', ');
  const drift =
    stretches > 1
      ? `It wanders by ${figure(driftDps, 2)} °/s over the rests of ${lasting(spanUs)}.`
      : 'One rest only, so its drift is not known.';
  const finding = `${axes} °/s on x, y, z (95 %), from ${lasting(1e6 * restS)} at rest in ${counted(stretches, 'stretch', 'stretches')}. ${drift}`;
  return isDrifting
    ? [
        finding,
        'Let the sensor warm up for a minute, and rest it now and then in a take.',
        'twist angles far from a rest',
      ]
    : [
        finding,
        'It is taken off, but a sensor so far off may have lost its set-up: power it up anew at rest.',
        'the gyro’s scale',
      ];
}

export function noiseWords({ noise, wanderDeg }: NoiseLine): LineWords {
  if (!noise) return ['Not known: nothing lies still here.', RECORD_REST, 'fine thresholds'];
  const wander =
    wanderDeg === null ? '' : ` By noise alone an angle wanders ${figure(wanderDeg, 2)}° in 10 s.`;
  return [
    `${figure(noise.gyroDps, 2)} °/s and ${figure(1000 * noise.accelG, 2)} mg (standard deviation, worst axes).${wander}`,
    'Rest the prop on a table, its fan or sound off; else look for a lower noise setting of the sensor.',
    'low thresholds',
  ];
}

const MISTAKES: Readonly<Record<ForceMistake, string>> = {
  noGravity: ' Gravity is missing: this is acceleration with gravity taken out.',
  mps2AsG: ' That is m/s² taken for g.',
  gAsMps2: ' That is g taken for m/s².',
  milligAsG: ' That is thousandths of g taken for g.',
  gAsMillig: ' That is g taken for thousandths of g.',
};

export function restForceWords({ state, force, accelScale, mistake, doubt }: RestForceLine): LineWords {
  const scale = 'thrust and impact, as far as the scale is off';
  if (!force) return ['Not tested: nothing lies still here.', RECORD_REST, scale];
  const { readsG, offShare } = force;
  const scaled =
    accelScale === 1
      ? ''
      : `, ${figure(readsG * accelScale, 4)} g after the scale of ${figure(accelScale, 4)}`;
  const finding = `The accelerometer reads ${figure(readsG, 4)} g at rest${scaled}, ${percent(offShare)} off 1 g.${mistake ? MISTAKES[mistake] : ''}`;
  if (mistake === 'noGravity')
    return [
      `${finding} Swing speed, guard and deflections can be tuned; thrusts and stabs cannot.`,
      'Log the accelerometer itself, not “linear acceleration”, or gravity beside it.',
      'orientation, thrusts and stabs',
    ];
  return state === 'fail'
    ? [
        finding,
        'Correct the accelerometer’s unit in the preview and add the file again.',
        'thrust, impact and gravity',
      ]
    : [finding, scaleAdvice(doubt), scale];
}

function scaleAdvice(doubt: RestForceLine['doubt']): string {
  switch (doubt) {
    case 'sameWayUp':
      return 'Rest the prop on several sides in one take: rests with the same way up cannot tell a scale from a bias.';
    case 'scatter':
      return 'No one scale mends it, as the rests disagree: calibrate the sensor’s axes in the prop, or judge thrusts and hits with care.';
    case null:
      return 'Accept the accelerometer’s scale on the calibration card.';
  }
}

export function leverWords(line: LeverLine): LineWords {
  const [finding, advice, distrust] = armWords(line);
  if (!line.isMountAssumed || line.cause === 'mount') return [finding, advice, distrust];
  const thrust = distrust === '' ? '' : ', and thrust in swings';
  return [
    `${finding} Nobody has said which way the blade points: the sensor’s +x is taken. ${otherAxesText(line.axes)}`.trim(),
    `Say on the calibration card which way the blade points. ${advice}`.trim(),
    `swing speed, and with it the guard, as the mount is assumed${thrust}`,
  ];
}

function armWords(line: LeverLine): LineWords {
  const { cause, fit, offDeg, setM, leftG } = line;
  const record = 'Record ten swings or more from one turning point, in two planes.';
  if (!fit)
    return [
      'Not tested: fewer than four sound swings.',
      record,
      'the mount, and with it swing speed and the guard, and thrust in swings, as nothing proves them',
    ];
  const found = foundArm(fit, line.spread);
  const thrust = 'thrust in swings';
  switch (cause) {
    case 'unsure':
      return [`${found} That is too unsure to set.`, record, thrust];
    case 'mount':
      return [
        `${found} The mount that is set has the blade ${figure(offDeg, 2)}° away from that.`,
        'Accept the mount on the calibration card, or correct it there.',
        'swing speed, and with it the guard, twist and thrust until the mount is right',
      ];
    case 'arm':
      return [
        `${found} ${figure(setM!)} m is set, which leaves ${figure(leftG, 2)} g of the fastest swing’s pull in the thrust.`,
        'Accept the lever arm on the calibration card.',
        thrust,
      ];
    default:
      return [setM === null ? found : `${found} ${figure(setM)} m is set.`, '', ''];
  }
}

function foundArm(fit: NonNullable<LeverLine['fit']>, spread: LeverLine['spread']): string {
  const { leverArmM, lowM, highM, stretches, explained, coneDeg } = fit;
  const range = `${leverArmM.toFixed(3)} m (at least 95 %: ${lowM.toFixed(3)} to ${highM.toFixed(3)})`;
  const axis =
    coneDeg <= MOUNT_GOOD_DEG
      ? `known within ${figure(coneDeg, 2)}°`
      : 'not known well enough to test the mount';
  const single = spread
    ? `; the middle half of single swings shows ${spread.lowM.toFixed(3)} to ${spread.highM.toFixed(3)} m`
    : '';
  return `The sensor sits ${range} from the turning point, the blade’s axis ${axis}${single}. ${percent(explained)} of the force in ${counted(stretches.length, 'stretch', 'stretches')} is explained.`;
}
