import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { Mount } from '../../../server/engine/base/mount.ts';
import { STATED_BOUNDS } from '../../../server/engine/base/statedBounds.ts';
import { isMountStated, withMount, withoutMount } from '../../../server/engine/calibrate/calibration.ts';
import type { FoundArm, FoundCalibration } from '../../../server/engine/check/findCalibration.ts';
import { figure, percent, plural, trueMinus, withHalf } from '../../../server/engine/words/count.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { MountFields } from '../MountFields.tsx';
import { StateMark } from '../signal/StateMark.tsx';
import { isNew, MOUNT_NOT_SAID, type Part, partsToAccept, setCalibration, withFound } from './accept.ts';
import { CopyDialog } from './CopyDialog.tsx';
import { NumberSet } from './NumberSet.tsx';

interface CardProps {
  readonly take: OpenTake;
  readonly found: FoundCalibration;
}

const PART_WORDS: Readonly<Record<Part, string>> = {
  arm: 'lever arm',
  mount: 'mount',
  scale: 'accelerometer scale',
};

/**
 * The calibration that the take shows of its own sensor, and how sure that is; each part can be accepted or overridden.
 */
export function CalibrationCard({ take, found }: CardProps) {
  const [isCopying, setCopying] = useState(false);
  const set = take.document.calibration;
  const ready = partsToAccept(set, found);
  const accept = (parts: readonly Part[]): void => {
    const words = `Accepted: ${parts.map((part) => PART_WORDS[part]).join(', ')}.`;
    void setCalibration(set, withFound(set, found, parts), words);
  };
  return (
    <section class="card calibration" aria-label="Calibration">
      <header>
        <h2>Calibration</h2>
        <span class="unit">what this take says of its sensor</span>
      </header>
      <ArmRow take={take} found={found} accept={accept} />
      <MountRow take={take} found={found} accept={accept} />
      <ScaleRow take={take} found={found} accept={accept} />
      <BiasRow found={found} />
      <footer>
        <button type="button" class="main" disabled={ready.length === 0} onClick={() => accept(ready)}>
          {ready.length === 0
            ? 'Nothing to accept'
            : `Accept ${ready.map((part) => PART_WORDS[part]).join(', ')}`}
        </button>
        <button type="button" onClick={() => setCopying(true)}>
          Use for other takes…
        </button>
      </footer>
      {isCopying && <CopyDialog take={take} onClose={() => setCopying(false)} />}
    </section>
  );
}

interface RowProps {
  readonly take: OpenTake;
  readonly found: FoundCalibration;
  accept(parts: readonly Part[]): void;
}

function Row(props: {
  name: string;
  isSure: boolean | null;
  words: string;
  set?: ComponentChildren;
  onAccept?: (() => void) | undefined;
  acceptWords?: string;
}) {
  return (
    <div class="found">
      <h3>
        {props.name}
        {props.isSure !== null && (
          <span class={`sure ${props.isSure ? 'is-pass' : 'is-caution'}`}>
            <StateMark state={props.isSure ? 'pass' : 'caution'} size={14} />{' '}
            {props.isSure ? 'sure' : 'unsure'}
          </span>
        )}
      </h3>
      <p class="found-words">{props.words}</p>
      {props.set && (
        <div class="found-set">
          <span class="unit">set</span>
          {props.set}
          {props.acceptWords && (
            <button type="button" class="small" disabled={!props.onAccept} onClick={props.onAccept}>
              {props.acceptWords}
            </button>
          )}
        </div>
      )}
    </div>
  );
}

function ArmRow({ take, found: all, accept }: RowProps) {
  const set = take.document.calibration;
  const found = all.arm;
  const words = found
    ? `${found.leverArmM.toFixed(3)} m from the turning point (at least 95 %: ${found.lowM.toFixed(3)} to ${found.highM.toFixed(3)}), from the swings of this take.${spreadWords(found.spread)}`
    : 'Not found: it takes four sound swings or more.';
  const isNewArm = found !== null && isNew(set, all, 'arm');
  return (
    <Row
      name="Lever arm"
      isSure={found?.isSure ?? null}
      words={words}
      set={
        <NumberSet
          name="Lever arm in metres"
          unit="m"
          value={set.leverArmM}
          min={STATED_BOUNDS.leverArmM.min}
          max={STATED_BOUNDS.leverArmM.max}
          onSet={(leverArmM) =>
            void setCalibration(set, { ...set, leverArmM }, `Lever arm set to ${leverArmM} m.`)
          }
        />
      }
      {...(found ? { acceptWords: isNewArm ? `Use ${found.leverArmM.toFixed(3)} m` : 'as found' } : {})}
      onAccept={isNewArm ? () => accept(['arm']) : undefined}
    />
  );
}

/** How single swings differ, and what that does to thrust. */
function spreadWords(spread: FoundArm['spread']): string {
  if (!spread) return '';
  const { lowM, highM, thrustErrorG, atDps, stretches } = spread;
  return ` Of ${stretches} stretches the middle half shows ${lowM.toFixed(3)} to ${highM.toFixed(3)} m: ±${figure(thrustErrorG, 2)} g of thrust at ${figure(atDps)} °/s.`;
}

function MountRow({ take, found: all, accept }: RowProps) {
  const set = take.document.calibration;
  const found = all.mount;
  const words = found
    ? `The blade points along the sensor’s ${mountWords(found.mount)}, ${found.coneDeg < 180 ? `give or take ${figure(found.coneDeg, 2)}°` : 'by how much that may be off cannot be told'}; what is set is ${figure(found.offDeg, 2)}° away. Swings do not show which way is the side: speeds do not need it.`
    : 'Not found: it takes a lever arm that is sure. Swing in two planes, and turn the grip between.';
  const isNewMount = found !== null && isNew(set, all, 'mount');
  return (
    <Row
      name="Mount"
      isSure={found?.isSure ?? null}
      words={words}
      set={
        <MountFields
          mount={set.mount}
          isAssumed={!isMountStated(set)}
          onChange={(mount) =>
            void setCalibration(set, withMount(set, mount), `Mount set: tip ${mountWords(mount)}.`)
          }
          onForget={() => void setCalibration(set, withoutMount(set), MOUNT_NOT_SAID)}
        />
      }
      {...(found ? { acceptWords: isNewMount ? 'Use as found' : 'as found' } : {})}
      onAccept={isNewMount ? () => accept(['mount']) : undefined}
    />
  );
}

function mountWords({ tip, correctionDeg }: Mount): string {
  const axis = trueMinus(tip);
  const turn = correctionDeg ? Math.hypot(...correctionDeg) : 0;
  return turn > 0 ? `${axis}, turned by ${figure(turn, 2)}°` : axis;
}

function ScaleRow({ take, found: all, accept }: RowProps) {
  const set = take.document.calibration;
  const found = all.scale;
  const isNewScale = found !== null && isNew(set, all, 'scale');
  return (
    <Row
      name="Accelerometer scale"
      isSure={found?.isSure ?? null}
      words={found ? scaleWords(found) : 'Not found: there is no rest that shows gravity.'}
      set={
        <NumberSet
          name="Accelerometer scale"
          unit="×"
          value={set.accelScale}
          min={STATED_BOUNDS.accelScale.min}
          max={STATED_BOUNDS.accelScale.max}
          onSet={(accelScale) =>
            void setCalibration(set, { ...set, accelScale }, `Accelerometer scale set to ${accelScale}.`)
          }
        />
      }
      {...(found ? { acceptWords: isNewScale ? `Use ${found.accelScale.toFixed(4)}` : 'as found' } : {})}
      onAccept={isNewScale ? () => accept(['scale']) : undefined}
    />
  );
}

function scaleWords({
  accelScale,
  scatter,
  stretches,
  doubt,
}: NonNullable<FoundCalibration['scale']>): string {
  const at = `× ${accelScale.toFixed(4)} would make |f| at rest 1 g, from ${plural(stretches, 'one rest', `${stretches} rests that agree within ${percent(scatter)}`)}.`;
  if (doubt === null) return at;
  return doubt === 'sameWayUp'
    ? `${at} All with the same way up: a bias would look the same. Rest the prop on several sides to be sure.`
    : `${at} They disagree by more than a scale explains: the axes have biases of their own.`;
}

function BiasRow({ found: { bias } }: { readonly found: FoundCalibration }) {
  const words = bias
    ? `${bias.dps.map((part, k) => withHalf(part, bias.halfDps[k]!)).join(', ')} °/s on x, y, z (95 %), from ${figure(bias.restS)} s at rest${bias.stretches > 1 ? `; it wanders by ${figure(bias.driftDps, 2)} °/s between rests` : ''}. Taken off by itself, evenly between rests.`
    : 'Not found: nothing lies still here. It is taken as 0.';
  return <Row name="Gyro bias" isSure={bias !== null} words={words} />;
}
