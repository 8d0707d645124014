import type { AxisName, Mount } from '../../server/engine/base/mount.ts';
import { trueMinus } from '../../server/engine/words/count.ts';

const AXES: readonly AxisName[] = ['+x', '-x', '+y', '-y', '+z', '-z'];

/** How the sensor sits in the grip: which of its axes points to the tip, and which to the side. */
export function MountFields(props: {
  readonly mount: Mount;
  /** Nobody has said it: then the tip's axis is still to be chosen, also where it is the one that is taken. */
  readonly isAssumed?: boolean;
  onChange(mount: Mount): void;
  /** Takes back what was said, where that can be done. */
  onForget?(): void;
}) {
  const { mount, isAssumed = false, onChange, onForget } = props;
  const sides = AXES.filter((axis) => axis[1] !== mount.tip[1]);
  return (
    <span class="mount">
      <AxisChoice
        name="Sensor axis toward the tip"
        value={isAssumed ? null : mount.tip}
        axes={AXES}
        onChange={(tip) => onChange({ tip, side: sideFor(tip, mount.side) })}
        onForget={onForget}
      />
      {!isAssumed && (
        // To choose it says nothing of the tip.
        <AxisChoice
          name="… to the side"
          value={mount.side}
          axes={sides}
          onChange={(side) => onChange({ ...mount, side })}
        />
      )}
    </span>
  );
}

function AxisChoice(props: {
  name: string;
  /** null where nobody has chosen one yet. */
  value: AxisName | null;
  axes: readonly AxisName[];
  onChange(axis: AxisName): void;
  onForget?: (() => void) | undefined;
}) {
  const { value, onChange, onForget } = props;
  return (
    <label>
      {props.name}
      <select
        value={value ?? ''}
        onChange={({ currentTarget: { value: axis } }) =>
          axis === '' ? onForget?.() : onChange(axis as AxisName)
        }
      >
        {(value === null || onForget) && (
          <option value="" disabled={!onForget}>
            not said: +x
          </option>
        )}
        {props.axes.map((axis) => (
          <option key={axis} value={axis}>
            {trueMinus(axis)}
          </option>
        ))}
      </select>
    </label>
  );
}

/** The side axis that was chosen, if it still can be one. */
function sideFor(tip: AxisName, side: AxisName): AxisName {
  if (tip[1] !== side[1]) return side;
  return AXES.find((axis) => axis[0] === '+' && axis[1] !== tip[1])!;
}
