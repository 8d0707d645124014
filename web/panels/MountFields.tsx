import type { AxisName, Mount } from '../../server/engine/base/mount.ts';
import { trueMinus } from '../../server/engine/words/count.ts';

const AXES: readonly AxisName[] = ['+x', '-x', '+y', '-y', '+z', '-z'];

/** How the sensor sits in the grip: which of its axes points to the tip, and which to the side. */
export function MountFields({ mount, onChange }: { readonly mount: Mount; onChange(mount: Mount): void }) {
  const sides = AXES.filter((axis) => axis[1] !== mount.tip[1]);
  return (
    <span class="mount">
      <AxisChoice
        name="Sensor axis toward the tip"
        value={mount.tip}
        axes={AXES}
        onChange={(tip) => onChange({ tip, side: sideFor(tip, mount.side) })}
      />
      <AxisChoice
        name="… to the side"
        value={mount.side}
        axes={sides}
        onChange={(side) => onChange({ ...mount, side })}
      />
    </span>
  );
}

function AxisChoice(props: {
  name: string;
  value: AxisName;
  axes: readonly AxisName[];
  onChange(axis: AxisName): void;
}) {
  return (
    <label>
      {props.name}
      <select value={props.value} onChange={(event) => props.onChange(event.currentTarget.value as AxisName)}>
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
