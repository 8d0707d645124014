import type { PropBuild } from '../prop/c99/constants.ts';
import type { FieldRule } from '../settings/candidateRules.ts';
import { CHOICE_RULES, DEFAULT_CANDIDATE, FIELD_RULES, readField } from '../settings/candidateRules.ts';

/** A setting to type off by hand: a line for each value, in the order of the settings panel, with its name in words. */
export function plainText({ candidate, calibration, rateHz }: PropBuild, heading: readonly string[]): string {
  const lines = [...heading, ''];
  for (const group of Object.keys(DEFAULT_CANDIDATE)) {
    const names = Object.keys(DEFAULT_CANDIDATE[group as keyof typeof DEFAULT_CANDIDATE]);
    for (const name of names)
      lines.push(settingLine(`${group}.${name}`, readField(candidate, `${group}.${name}`)));
    lines.push('');
  }
  const { mount, leverArmM, accelScale } = calibration;
  lines.push(
    `Samples a second: ${rateHz}`,
    `Sensor axis to the tip ${mount.tip}, to the side ${mount.side}`,
    `From the turning point to the sensor: ${leverArmM} m`,
    `Factor on the accelerometer: ${accelScale}`,
    '',
  );
  return lines.join('\n');
}

function settingLine(path: string, value: number | string): string {
  const choice = CHOICE_RULES[path];
  if (choice !== undefined) {
    const label = choice.choices.find((one) => one.value === value)?.label ?? String(value);
    return `${choice.label}: ${label}`;
  }
  const { label, unit } = FIELD_RULES[path] as FieldRule;
  return `${label}: ${value}${unit === '' ? '' : ` ${unit}`}   (${path})`;
}
