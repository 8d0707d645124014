import type { PropBuild } from '../prop/c99/constants.ts';
import { FIELD_PATHS, readField, settingAt } from '../settings/candidateRules.ts';

/** A setting to type off by hand: a line for each value, in the order of the settings panel, with its name in words. */
export function plainText({ candidate, calibration, rateHz }: PropBuild, heading: readonly string[]): string {
  const lines = [...heading];
  let group = '';
  for (const path of FIELD_PATHS) {
    if (!path.startsWith(`${group}.`)) lines.push('');
    group = path.slice(0, path.indexOf('.'));
    lines.push(settingLine(path, readField(candidate, path)));
  }
  const { mount, leverArmM, accelScale } = calibration;
  lines.push(
    '',
    `Samples a second: ${rateHz}`,
    `Sensor axis to the tip ${mount.tip}, to the side ${mount.side}`,
    `From the turning point to the sensor: ${leverArmM} m`,
    `Factor on the accelerometer: ${accelScale}`,
    '',
  );
  return lines.join('\n');
}

function settingLine(path: string, value: number | string): string {
  const setting = settingAt(path);
  const unit = setting.unit === '' ? '' : ` ${setting.unit}`;
  const shown =
    setting.kind === 'number'
      ? `${value}${unit}`
      : (setting.choices.find(([one]) => one === value)?.[1] ?? String(value));
  return `${setting.label}: ${shown}   (${path})`;
}
