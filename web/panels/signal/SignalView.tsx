import type { SignalCheck } from '../../../server/engine/check/checkSignals.ts';
import { wordedCheck } from '../../../server/engine/words/check/check.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { workspace } from '../../state/workspace.ts';
import { CalibrationCard } from '../calibration/CalibrationCard.tsx';
import { Fold } from '../Fold.tsx';
import { AllanPlot } from './AllanPlot.tsx';
import { ArmPlot } from './ArmPlot.tsx';
import { CheckLines } from './CheckLines.tsx';
import { GravityPlot } from './GravityPlot.tsx';
import { SpectrumPlot } from './SpectrumPlot.tsx';
import { StepPlot } from './StepPlot.tsx';
import { checkOf, signalCheck } from './signalState.ts';
import { VerdictBanner } from './VerdictBanner.tsx';

/** May I trust this take? The verdict and the one thing to do; then what to look at; the rest on asking. */
export function SignalView({ take }: { readonly take: OpenTake }) {
  const check = checkOf(take);
  const { status, error } = signalCheck.known.value;
  if (check) return <Checked take={take} check={check} />;
  if (status !== 'failed')
    return (
      <div class="empty" role="status">
        <p>Checking the take…</p>
        <CheckProgress />
      </div>
    );
  return (
    <div class="empty" role="alert">
      <p>
        <b>The check did not finish.</b>
      </p>
      <p>{error}</p>
      <button type="button" onClick={signalCheck.goOn}>
        Check again
      </button>
    </div>
  );
}

/** A long take's check takes seconds. */
function CheckProgress() {
  const { part } = signalCheck.known.value;
  return part === null ? null : <progress value={part} max={1} aria-label="Check" />;
}

function Checked({ take, check }: { readonly take: OpenTake; readonly check: SignalCheck }) {
  const { data } = check;
  const worded = wordedCheck(check);
  const { calibration } = take.document;
  return (
    <div class="signal-view">
      <VerdictBanner
        check={check}
        worded={worded}
        take={workspace.value?.takes.find(({ id }) => id === take.document.id)}
      />
      {signalCheck.known.value.part !== null && (
        <p class="checking" role="status">
          <span class="quiet">Checking anew…</span> <CheckProgress />
        </p>
      )}
      <CheckLines lines={worded.lines} />
      <Fold name="Calibration" holds="lever arm, mount, scale and bias, as this take tells of them">
        <CalibrationCard take={take} found={data.found} />
      </Fold>
      <Fold name="Graphs" holds="of the arm, gravity, the spectrum, noise at rest and the clock">
        <div class="signal-plots">
          <ArmPlot lever={data.lever} setM={calibration.leverArmM} />
          <GravityPlot test={data.gravity} />
          <SpectrumPlot spectrum={data.spectrum} />
          <AllanPlot noise={data.noise} />
          <StepPlot steps={data.steps} />
        </div>
      </Fold>
    </div>
  );
}
