import type { ChannelsLine } from '../../check/channels.ts';
import type { ClippingLine } from '../../check/clippingLine.ts';
import type { ClockLine } from '../../check/clock.ts';
import { type GapsLine, SHORT_STRETCH_S } from '../../check/gaps.ts';
import { type HitsLine, type RateLine, SHOCK_MS, SHORTEST_SWING_S } from '../../check/rate.ts';
import type { RepeatsLine } from '../../check/repeats.ts';
import type { RowsLine } from '../../check/rows.ts';
import { type SpectrumLine, SWING_BAND_HZ } from '../../check/spectrum.ts';
import { SPIKE_DPS, type SpikesLine } from '../../check/spikes.ts';
import type { RateFinding } from '../../check/statedRate.ts';
import type { SwingsLine } from '../../check/swings.ts';
import { counted, figure, lasting, moment, moments, percent, plural } from '../count.ts';
import type { LineWords } from './lineWords.ts';

export function rateWords({ state, rateHz }: RateLine): LineWords {
  return [
    `${figure(rateHz, 4)} Hz: a swing of ${SHORTEST_SWING_S} s has ${figure(SHORTEST_SWING_S * rateHz, 2)} samples, and moments are known to ${lasting(1e6 / rateHz)}.`,
    'Log at 100 Hz or more: 200 Hz if stabs or hits matter.',
    state === 'fail' ? 'the shape of every swing' : 'peaks and dips of short swings',
  ];
}

export function hitsWords({ state, rateHz, leastShare, chanceOfHalf }: HitsLine): LineWords {
  const at = `at ${figure(rateHz)} Hz`;
  const reads =
    state === 'pass'
      ? `reads at least ${percent(leastShare)} of its peak ${at}`
      : leastShare > 0
        ? `may read as little as ${percent(leastShare)} of its peak ${at}`
        : `can fall wholly between two samples: ${at} it reads half of its peak or more only ${percent(chanceOfHalf)} of the time`;
  return [
    `A hit of ${SHOCK_MS} ms ${reads}.`,
    'For impact and stab, log at 200 Hz or more.',
    'impact levels, and hits not seen',
  ];
}

function noStampsWords({ rate }: ClockLine, shownHz: string): LineWords {
  const off = 'every time and angle, as far as the stated rate is off';
  const stated = `The log has no clock: its rate is taken as stated, ${shownHz}.`;
  if (rate?.kind === 'misfits') return [rateText(rate), RATE_ADVICE, off];
  return rate === null
    ? [stated, 'Log a time stamp with each row; until then measure the rate against a watch.', off]
    : [
        `${stated} ${rateText(rate)}`,
        'Log a time stamp with each row.',
        'single moments, as a lost row does not show',
      ];
}

const RATE_ADVICE =
  'Measure the rate against a watch and read the file again with it; if the rate is right, correct the gyro’s range or sensitivity.';

/** What gravity says of a stated rate. */
export function rateText(rate: RateFinding): string {
  if (rate.kind === 'fits')
    return `It fits: at that rate the turns of the gyro keep gravity in place, within ${percent(Math.max(0.01, rate.offShare))}.`;
  const [stated, fitting] = [figure(rate.statedHz, 4), figure(rate.fittingHz, 3)];
  return `The stated rate of ${stated} Hz does not fit the motion: turned by the gyro, gravity would stay in place at about ${fitting} Hz. That rate, or the gyro’s scale, is wrong.`;
}

export function clockWords(line: ClockLine): LineWords {
  const { state, source, steps, bridgedShare } = line;
  const rate = `${figure(1000 / steps.nominalMs, 4)} Hz`;
  if (source === 'none') return noStampsWords(line, rate);
  if (source === 'bunches' || source === 'stated')
    return [
      source === 'bunches'
        ? `Stamps come in bunches: rows are set evenly at their mean rate of ${rate}, and a row lost inside a bunch does not show.`
        : `Rows are set at even steps of ${rate}, as stated: a lost row does not show.`,
      'Stamp each row when the sensor is read, before it goes to a buffer or over the air.',
      'single moments, as far as rows came unevenly or were lost',
    ];
  const cut = source === 'grid' ? ' once rows on coarse stamps are spread evenly' : '';
  const lost =
    steps.bridged > 0
      ? `${counted(steps.bridged, 'single row')} missing (${percent(bridgedShare)}), bridged by straight lines`
      : `${line.gaps > 0 ? `outside the ${plural(line.gaps, 'gap', 'gaps')} ` : ''}no row is missing`;
  return [
    `Steps scatter by ${figure(steps.jitterMs, 2)} ms (root mean square) about ${figure(steps.nominalMs, 4)} ms${cut}; ${lost}.`,
    'Stamp each row when the sensor is read, and give the logger time to write: a faster card, a larger buffer.',
    state === 'fail' ? 'every peak and dip' : 'speeds at steep moments',
  ];
}

export function gapsWords(line: GapsLine): LineWords {
  const { state, recordedUs, bursts, gapsUs, lostUs, shortShare } = line;
  const found: string[] = [];
  if (bursts > 1)
    found.push(
      `${bursts} bursts with up to ${lasting(line.longestBreakUs)} between them, ${lasting(recordedUs)} recorded in all: no one long take.`,
    );
  if (gapsUs.length > 0)
    found.push(`${counted(gapsUs.length, 'gap')}, ${lasting(lostUs)} lost in all, at ${moments(gapsUs)}.`);
  if (found.length === 0) found.push(`None: ${lasting(recordedUs)} in one stretch.`);
  if (state === 'fail')
    return [
      `${found.join(' ')} ${percent(shortShare)} of the time lies in stretches under ${SHORT_STRETCH_S} s.`,
      'Log without breaks: each stretch starts anew, and these are too short to judge.',
      'everything that needs a history: holds, gravity, twist',
    ];
  return [
    found.join(' '),
    bursts > 1
      ? 'Each burst is judged on its own, nothing is computed across a break. Give each a second at rest; store bursts that do not belong together as takes of their own.'
      : 'Nothing is computed across a gap, and detectors start anew behind it. If gaps come often, look at the logger: buffer, card, radio.',
    'what lies in the gaps and just behind them',
  ];
}

export function rowsWords(line: RowsLine): LineWords {
  const { state, duplicates, backwards, zeroRows, badRowCount } = line;
  const ofAll = (count: number): string => `(${percent(count / line.all)})`;
  const found: string[] = [];
  if (duplicates > 0)
    found.push(
      `${counted(duplicates, 'row')} with a stamp that was there already ${ofAll(duplicates)}, left out`,
    );
  if (backwards > 0) found.push(`${counted(backwards, 'stamp')} out of order`);
  if (zeroRows > 0)
    found.push(
      `${counted(zeroRows, 'row')} of zeros alone ${ofAll(zeroRows)}, left out: nothing was measured there`,
    );
  if (badRowCount > 0) found.push(`${counted(badRowCount, 'row')} unreadable ${ofAll(badRowCount)}`);
  if (found.length === 0)
    found.push(
      `All ${line.rows} rows read`,
      line.hasStamps ? 'no stamp repeated or out of order' : 'the log has no stamps',
    );
  const finding = `${found.join('; ')}.`;
  if (state === 'fail')
    return [
      finding,
      'Look at the rows named in the preview: wrong columns, or a damaged file.',
      'the whole log',
    ];
  return line.isOnlyZeros
    ? [
        finding,
        'Look at the logger: zeros are what it writes when the sensor does not answer, or behind the end of a take.',
        'what lies next to the rows of zeros',
      ]
    : [
        finding,
        'Look at the logger: rows written twice or late mostly mean that its writing falls behind.',
        'single moments: a row left out may have held a short peak',
      ];
}

export function repeatsWords({ state, rateHz, shares, slow }: RepeatsLine): LineWords {
  const repeated = slow.map((sensor) => {
    const share = shares![sensor];
    return `The ${sensor === 'gyro' ? 'gyro' : 'accelerometer'} repeats ${percent(share)} of its values in motion: it reads about ${figure(rateHz * (1 - share))} Hz, not ${figure(rateHz)}.`;
  });
  if (!shares) repeated.push('Hardly anything turns here, so repeated values tell nothing.');
  else if (slow.length === 0)
    repeated.push(
      `Both sensors keep up with the log (${percent(Math.max(shares.gyro, shares.accel))} of values repeated in motion).`,
    );
  return [
    repeated.join(' '),
    'Raise the sensor’s own output rate, or log at its rate: steps in the trace delay and blunt every peak.',
    state === 'fail' ? 'every swing' : 'delays, and peaks between two readings',
  ];
}

export function channelsWords({ constant, stuck }: ChannelsLine): LineWords {
  if (constant.length > 0)
    return [
      `${constant.map(({ name, isZero }) => `${name} reads ${isZero ? 'nothing but 0' : 'one value'} throughout`).join('; ')}.`,
      'Look at the wiring, the sensor’s set-up and the columns chosen in the preview.',
      'speed, twist and thrust alike',
    ];
  const runs = stuck.map(({ name, startUs, lengthUs }) => {
    return `${name} stood still for ${lasting(lengthUs)} from ${moment(startUs)}`;
  });
  return [
    stuck.length === 0 ? 'All six channels move.' : `${runs.join('; ')}, while its sensor moved.`,
    'Look at the logger: a value that stands still in motion was not read anew.',
    'the moments named',
  ];
}

export function clippingWords(line: ClippingLine): LineWords {
  const { state, channels, markedSamples, swings, clippedPeaksUs } = line;
  const stuck = channels.map(({ name, kind, samples, limits, startsUs }) => {
    const ends = limits.map((limit) => `${figure(limit, 4)} ${kind === 'gyro' ? '°/s' : 'g'}`).join(' and ');
    return `${name} is stuck at ${ends} in ${counted(samples, 'sample')}, at ${moments(startsUs)}.`;
  });
  if (channels.length === 0)
    stuck.push(`${counted(markedSamples, 'sample')} stood at the end of a channel’s range in the file.`);
  const peaks =
    clippedPeaksUs.length === 0
      ? 'No swing’s peak rests on it.'
      : `${clippedPeaksUs.length} of ${counted(swings, 'swing')} peak on clipped samples and were faster than shown: at ${moments(clippedPeaksUs)}.`;
  const advice = 'Choose a wider range for the sensor. Thresholds well below the limit stay valid.';
  if (state === 'pass') return ['No channel stands at the end of its range.', '', ''];
  const finding = `${stuck.join(' ')} ${peaks}`;
  if (state === 'fail')
    return [finding, `${advice} This one cannot hold a common swing.`, 'peaks, turns and thrust'];
  const isForceOnly = channels.length > 0 && channels.every(({ kind }) => kind === 'accel');
  return [
    finding,
    advice,
    isForceOnly ? 'thrust and impact where the force is clipped' : 'peaks on clipped samples',
  ];
}

export function spikesWords({ rateHz, spikesUs }: SpikesLine): LineWords {
  const finding =
    spikesUs === null
      ? `At ${figure(rateHz)} Hz a spike cannot be told from a short swing, and none was looked for.`
      : spikesUs.length === 0
        ? 'No rate leaps away for a single sample.'
        : `A rate leaps away by ${SPIKE_DPS} °/s or more for one sample, ${counted(spikesUs.length, 'time')}: at ${moments(spikesUs)}.`;
  return [
    finding,
    'A damaged row, a loose wire, or a hit on the blade: look at the traces there.',
    'peaks at the spikes',
  ];
}

export function swingsWords({ count, clipped, peakDps, peakUs }: SwingsLine): LineWords {
  const beyond = clipped > 0 ? `; ${clipped} went beyond the sensor’s range` : '';
  const fastest =
    peakDps > 0
      ? `, the fastest${clipped > 0 ? ' of the others' : ''} ${figure(peakDps, 4)} °/s at ${moment(peakUs)}`
      : '';
  return [
    count === 0 ? 'No swing was found.' : `${counted(count, 'swing')}${beyond}${fastest}.`,
    'Fine for a take of rest or of twists; to tune a guard, record swings with reversals.',
    count === 0 ? 'any score of guard or deflection' : 'scores that rest on so few swings',
  ];
}

export function spectrumWords({ found, isTooShort }: SpectrumLine): LineWords {
  if (!found)
    return [
      isTooShort
        ? 'No stretch is long enough for a spectrum.'
        : 'Nothing turns here, so a spectrum tells nothing.',
      '',
      '',
    ];
  const { swingShare, edgeShare, isFolded, halfHz, hum } = found;
  const [fromHz, toHz] = SWING_BAND_HZ;
  const band = `${percent(swingShare)} of the turning’s power lies in the swing band, ${fromHz} to ${toHz} Hz`;
  if (isFolded)
    return [
      `${band}; ${percent(edgeShare)} lies at the upper edge, near ${figure(halfHz)} Hz: faster motion folds back into the log as slower.`,
      'Log at a higher rate, or let the sensor smooth below a third of the rate.',
      'fine detail of the traces',
    ];
  return [
    hum
      ? `${band}; a hum of ${figure(hum.rmsDps, 2)} °/s stands at ${figure(hum.frequencyHz)} Hz.`
      : `${band}; no hum above it, and nothing folds back at ${figure(halfHz)} Hz.`,
    'Look for what shakes the grip at that frequency: a speaker, a motor, a loose board.',
    'low thresholds',
  ];
}
