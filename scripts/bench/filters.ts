import { Cascade } from '../../server/engine/filter/biquad.ts';
import { designLowPass } from '../../server/engine/filter/butterworth.ts';
import { zeroPhaseLowPass } from '../../server/engine/filter/zeroPhase.ts';
import { welch } from '../../server/engine/spectrum/welch.ts';
import { upperMedian } from '../../server/engine/statistics/sorted.ts';
import { seededNormal } from '../simulate/random.ts';
import { type Print, shown, timeMs } from './pair.ts';
import { scipyMs } from './scipy.ts';

const SAMPLES = 2_000_000;
const RATE_HZ = 1000;

export async function benchFilters(print: Print): Promise<void> {
  const normal = seededNormal(1);
  const x = Float64Array.from({ length: SAMPLES }, () => normal());
  const out = new Float64Array(SAMPLES);
  const filter = (): void => {
    const cascade = new Cascade(designLowPass(4, 25, RATE_HZ));
    cascade.run(x, out, 0, SAMPLES);
  };
  const setup = `x = np.random.default_rng(1).standard_normal(${SAMPLES}); sos = signal.butter(4, 25, fs=${RATE_HZ}, output='sos')`;
  await against(print, 'two biquads', filter, 'sosfilt', scipyMs(setup, 'signal.sosfilt(sos, x)'), '≥ 1.6');
  const zeroPhase = (): unknown => zeroPhaseLowPass(x, 2, 25, RATE_HZ, out);
  const two = setup.replace('butter(4', 'butter(2');
  await against(
    print,
    'zero phase',
    zeroPhase,
    'sosfiltfilt',
    scipyMs(two, 'signal.sosfiltfilt(sos, x)'),
    '≥ 1.6',
  );
  const spectrum = (): unknown =>
    welch(x, RATE_HZ, { blockSamples: 1024, overlapSamples: 512, window: 'hann', detrend: 'mean' });
  const scipyWelch = scipyMs(setup, `signal.welch(x, ${RATE_HZ}, nperseg=1024)`);
  await against(print, 'Welch, blocks of 1024', spectrum, 'scipy.signal.welch', scipyWelch, '≥ 2.5');
}

async function against(
  print: Print,
  name: string,
  ours: () => unknown,
  peerName: string,
  peerMs: number | null,
  target: string,
): Promise<void> {
  if (peerMs === null) return print(`${name}: no SciPy here to run against`);
  await ours();
  const times: number[] = [];
  for (let round = 0; round < 5; ++round) times.push(await timeMs(ours));
  const ms = upperMedian(times);
  print(
    `${name}: ${(peerMs / ms).toFixed(2)}× the speed of ${peerName} (${shown(ms)} against ${shown(peerMs)}; target ${target})`,
  );
}
