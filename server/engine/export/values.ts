import type { PropBuild } from '../prop/c99/constants.ts';
import { FIELD_PATHS, readField, settingAt } from '../settings/candidateRules.ts';
import type { TemplateUnit, TemplateValue } from './template.ts';

/** All that a template may name: every setting by its path, the prop's own figures, and what the setting is called. */
export function templateValues(
  { candidate, calibration, rateHz }: PropBuild,
  name: string,
): Map<string, TemplateValue> {
  const values = new Map<string, TemplateValue>();
  const add = (key: string, value: number | string, unit: TemplateUnit) =>
    values.set(key, typeof value === 'number' ? { kind: 'number', value, unit } : { kind: 'text', value });
  for (const path of FIELD_PATHS) add(path, readField(candidate, path), settingAt(path as string).unit);
  add('prop.rateHz', rateHz, 'Hz');
  add('prop.leverArmM', calibration.leverArmM, 'm');
  add('prop.accelScale', calibration.accelScale, '');
  add('prop.mountTip', calibration.mount.tip, '');
  add('prop.mountSide', calibration.mount.side, '');
  add('setting.name', name, '');
  return values;
}
