export type AxisName = '+x' | '-x' | '+y' | '-y' | '+z' | '-z';

export type Vec3 = readonly [number, number, number];

/**
 * The three sensor axes in prop coordinates, as rows: sensor reading k = row k . (prop vector). `tip` is the sensor
 * axis that points to the tip (prop +x), `side` the one along prop +y.
 * @throws RangeError  if both name the same axis.
 */
export function sensorFromProp(mount: {
  readonly tip: AxisName;
  readonly side: AxisName;
}): readonly [Vec3, Vec3, Vec3] {
  const tip = unit(mount.tip);
  const side = unit(mount.side);
  const third: Vec3 = [
    tip[1] * side[2] - tip[2] * side[1],
    tip[2] * side[0] - tip[0] * side[2],
    tip[0] * side[1] - tip[1] * side[0],
  ];
  if (third.every((part) => part === 0))
    throw new RangeError(`tip ${mount.tip} and side ${mount.side} lie on one axis`);
  return [
    [tip[0], side[0], third[0]],
    [tip[1], side[1], third[1]],
    [tip[2], side[2], third[2]],
  ];
}

function unit(axis: AxisName): Vec3 {
  const sign = axis.startsWith('-') ? -1 : 1;
  const name = axis.slice(1);
  return [name === 'x' ? sign : 0, name === 'y' ? sign : 0, name === 'z' ? sign : 0];
}
