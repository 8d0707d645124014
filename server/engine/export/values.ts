import type { PropBuild } from '../prop/c99/constants.ts';
import { CHOICE_RULES, FIELD_RULES, readField } from '../settings/candidateRules.ts';
import type { TemplateValue } from './template.ts';

/** All that a template may name: every setting by its path, the prop's own figures, and what the setting is called. */
export function templateValues(build: PropBuild, name: string): Map<string, TemplateValue> {
  const { candidate, calibration, rateHz } = build;
  const values = new Map<string, TemplateValue>();
  const number = (key: string, value: number, unit: (TemplateValue & { kind: 'number' })['unit']) =>
    values.set(key, { kind: 'number', value, unit });
  for (const [path, { unit }] of Object.entries(FIELD_RULES))
    number(path, readField(candidate, path) as number, unit);
  for (const path of Object.keys(CHOICE_RULES)) {
    const value = readField(candidate, path);
    if (typeof value === 'number') number(path, value, '');
    else values.set(path, { kind: 'text', value });
  }
  number('prop.rateHz', rateHz, 'Hz');
  number('prop.leverArmM', calibration.leverArmM, 'm');
  number('prop.accelScale', calibration.accelScale, '');
  values.set('prop.mountTip', { kind: 'text', value: calibration.mount.tip });
  values.set('prop.mountSide', { kind: 'text', value: calibration.mount.side });
  values.set('setting.name', { kind: 'text', value: name });
  return values;
}
