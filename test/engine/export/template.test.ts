import { describe, expect, test } from 'vitest';
import { fillTemplate, TemplateError, type TemplateValue } from '../../../server/engine/export/template.ts';
import { fc } from '../properties.ts';

const VALUES = new Map<string, TemplateValue>([
  ['guard.speedDps', { kind: 'number', value: 180, unit: '°/s' }],
  ['guard.holdMs', { kind: 'number', value: 240, unit: 'ms' }],
  ['guard.releaseRatio', { kind: 'number', value: 0.8, unit: '' }],
  ['impact.impactG', { kind: 'number', value: 3.2, unit: 'g' }],
  ['twist.angleDeg', { kind: 'number', value: 60, unit: '°' }],
  ['setting.name', { kind: 'text', value: 'Lead spinner, parade' }],
]);

const fill = (template: string) => fillTemplate(template, VALUES, 208);

describe('a template is filled in', () => {
  test.each([
    ['{{guard.speedDps}}', '180'],
    ['{{ guard.speedDps in rad/s to 4 decimals }}', '3.1416'],
    ['{{guard.speedDps in turns/s}}', '0.5'],
    ['{{guard.holdMs in s}}', '0.24'],
    ['{{guard.holdMs in samples}}', '50'],
    ['{{guard.holdMs in samples at 100 Hz}}', '24'],
    ['{{guard.holdMs in samples at 104.2 Hz}}', '26'],
    ['{{guard.releaseRatio in %}}', '80'],
    ['{{impact.impactG in m/s2 to 2 decimals}}', '31.38'],
    ['{{twist.angleDeg in rad to 1 decimal}}', '1.0'],
    ['{{setting.name}}', 'Lead spinner, parade'],
    ['a \\{{guard.speedDps}} b', 'a {{guard.speedDps}} b'],
    ['{ x = {{guard.holdMs}} } }}', '{ x = 240 } }}'],
    ['', ''],
  ])('%s is %s', (template, text) => expect(fill(template)).toBe(text));

  test('the standard gravity is 9.80665 m/s² (SI Brochure, 3rd CGPM)', () => {
    expect(Number(fill('{{impact.impactG in m/s2}}')) / 3.2).toBeCloseTo(9.80665, 10);
  });

  test('what holds no placeholder stays as it is, whatever it holds', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary' }).filter((text) => !text.includes('{{')),
        (text) => {
          expect(fill(text)).toBe(text);
        },
      ),
    );
  });
});

describe('what cannot be filled in is refused, with its place', () => {
  test.each([
    [
      'one\ntwo {{guard.sped}}',
      2,
      5,
      'there is no such value; there are guard.speedDps, guard.holdMs, guard.releaseRatio',
    ],
    ['{{nothing}}', 1, 1, 'there is no such value; there are guard.speedDps'],
    ['\r\n {{guard.speedDps in km/h}}', 2, 2, 'guard.speedDps cannot be had in "km/h", only in deg/s, rad/s'],
    ['{{guard.holdMs in h}}', 1, 1, 'only in ms, s, us, samples'],
    ['{{guard.speedDps in samples}}', 1, 1, 'guard.speedDps is no time'],
    ['{{guard.holdMs in samples to 2 decimals}}', 1, 1, 'samples are whole'],
    ['{{guard.holdMs in samples at 0 Hz}}', 1, 1, 'the rate must be a number above 0'],
    ['{{guard.holdMs in samples at many Hz}}', 1, 1, 'the rate must be a number above 0'],
    ['{{guard.holdMs in s at 208 Hz}}', 1, 1, 'only "in samples" goes with'],
    ['{{guard.holdMs to 99 decimals}}', 1, 1, 'at most 15 decimals'],
    ['{{setting.name to 2 decimals}}', 1, 1, 'setting.name is a text'],
    ['{{guard.speedDps rounded}}', 1, 1, 'write a name, then, where wanted'],
    ['{{}}', 1, 1, 'write a name'],
    ['x {{guard.speedDps\n}}', 1, 3, 'it is not closed by }} in its line'],
    ['x {{guard.speedDps', 1, 3, 'it is not closed'],
  ])('%j', (template, line, column, problem) => {
    expect(() => fill(template)).toThrow(TemplateError);
    expect(() => fill(template)).toThrow(problem);
    expect(() => fill(template)).toThrow(`line ${line}, column ${column}: {{`);
  });
});
