import { Cascade } from '../../server/engine/filter/biquad.ts';
import { designLowPass } from '../../server/engine/filter/butterworth.ts';
import { zeroPhaseLowPass } from '../../server/engine/filter/zeroPhase.ts';
import { welch } from '../../server/engine/spectrum/welch.ts';
import { seededNormal } from '../simulate/random.ts';
import type { Print } from './pair.ts';
import { pairWithPython } from './python.ts';

const SAMPLES = 2_000_000;
const RATE_HZ = 1000;

export async function benchFilters(print: Print): Promise<void> {
  const normal = seededNormal(1);
  const x = Float64Array.from({ length: SAMPLES }, () => normal());
  const out = new Float64Array(SAMPLES);
  const setup = (order: number) =>
    [
      'from scipy import signal',
      `x = np.random.default_rng(1).standard_normal(${SAMPLES})`,
      `sos = signal.butter(${order}, 25, fs=${RATE_HZ}, output='sos')`,
    ].join('\n');
  const twoBiquads = (): void => {
    const cascade = new Cascade(designLowPass(4, 25, RATE_HZ));
    cascade.run(x, out, 0, SAMPLES);
  };
  const sosfilt = { name: 'sosfilt', setup: setup(4), value: 'signal.sosfilt(sos, x)[-1]' };
  await pairWithPython(print, 'two biquads', twoBiquads, sosfilt, '≥ 1.6');
  const zeroPhase = (): unknown => zeroPhaseLowPass(x, 2, 25, RATE_HZ, out);
  const sosfiltfilt = { name: 'sosfiltfilt', setup: setup(2), value: 'signal.sosfiltfilt(sos, x)[-1]' };
  await pairWithPython(print, 'zero phase', zeroPhase, sosfiltfilt, '≥ 1.6');
  const spectrum = (): unknown =>
    welch(x, RATE_HZ, { blockSamples: 1024, overlapSamples: 512, window: 'hann', detrend: 'mean' });
  const value = `signal.welch(x, ${RATE_HZ}, nperseg=1024)[1][-1]`;
  const scipyWelch = { name: 'scipy.signal.welch', setup: setup(4), value };
  await pairWithPython(print, 'Welch, blocks of 1024', spectrum, scipyWelch, '≥ 2.5');
}
