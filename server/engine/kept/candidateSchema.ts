import { FORMATS } from '../base/fileKind.ts';
import type { Setting } from '../base/setting.ts';
import { DETECTORS, type DetectorId } from '../detect/detectors.ts';
import { isWindowed, SMOOTHING_SETTINGS } from '../filter/smoothing.ts';
import type { Candidate } from '../settings/candidate.ts';
import {
  CANDIDATE_VERSION,
  FIELD_PATHS,
  FIRST_VERSION,
  groupSince,
  settingAt,
  sinceOf,
} from '../settings/candidateRules.ts';
import { type JsonSchema, objectOf } from './schemaParts.ts';

const PLACES = FIELD_PATHS.map((path) => {
  const [group, name] = path.split('.') as [keyof Candidate, string];
  return { path, group, name };
});

/** The groups of a candidate, in the order of its document. */
export const CANDIDATE_GROUPS = [...new Set(PLACES.map(({ group }) => group))];

/** What a group of settings is called. */
export function groupTitle(group: keyof Candidate): string {
  return group === 'smoothing' ? 'Smoothing' : DETECTORS[group as DetectorId].title;
}

/** A candidate's document of any version that this program reads: bounds and choices are the detectors' own. */
export function candidateSchema(): JsonSchema {
  const groups = CANDIDATE_GROUPS.map((group) => [group, groupSchema(group)] as const);
  const version = {
    type: 'integer',
    title: 'Version of the settings',
    description: 'It rises with every setting that is added; an older one lacks those.',
    minimum: FIRST_VERSION,
    maximum: CANDIDATE_VERSION,
  };
  return objectOf(
    'The values of the setting',
    {
      format: { type: 'string', title: 'Kind of document', const: FORMATS.candidate },
      version,
      ...Object.fromEntries(groups),
    },
    { required: ['format', 'version', ...since(FIRST_VERSION).groups], ...laterSettings() },
  );
}

function groupSchema(group: keyof Candidate): JsonSchema {
  const own = PLACES.filter((place) => place.group === group);
  const properties = Object.fromEntries(own.map(({ path, name }) => [name, settingSchema(settingAt(path))]));
  const required = since(FIRST_VERSION).names(group);
  const base = objectOf(groupTitle(group), properties, { required });
  if (group !== 'smoothing') return base;
  const windowed = SMOOTHING_SETTINGS.kind.choices.map(([kind]) => kind).filter(isWindowed);
  return {
    ...base,
    required: required.filter((name) => name !== 'lengthMs'),
    if: { properties: { kind: { enum: windowed } } },
    // biome-ignore lint/suspicious/noThenProperty: it is a word of JSON Schema.
    then: { required: ['lengthMs'] },
  };
}

/** What a document of a later version has to have besides. */
function laterSettings(): JsonSchema {
  const versions = Array.from({ length: CANDIDATE_VERSION - FIRST_VERSION }, (_, i) => FIRST_VERSION + 1 + i);
  const allOf = versions.map((version) => {
    const { groups, names } = since(version);
    const properties = CANDIDATE_GROUPS.filter((group) => names(group).length > 0).map((group) => [
      group,
      { type: 'object', required: names(group) },
    ]);
    return {
      if: { properties: { version: { type: 'integer', minimum: version } } },
      // biome-ignore lint/suspicious/noThenProperty: it is a word of JSON Schema.
      then: { required: groups, properties: Object.fromEntries(properties) },
    };
  });
  return allOf.length === 0 ? {} : { allOf };
}

/** What comes with a version. */
function since(version: number) {
  return {
    groups: CANDIDATE_GROUPS.filter((group) => groupSince(group) === version),
    names: (group: keyof Candidate) =>
      PLACES.filter((place) => place.group === group && sinceOf(place.path) === version).map(
        ({ name }) => name,
      ),
  };
}

function settingSchema(setting: Setting): JsonSchema {
  const { label, byDefault, unit } = setting;
  if (setting.kind === 'choice') {
    const names = setting.choices.map(([value, name]) => `${JSON.stringify(value)}: ${name}`);
    return {
      title: label,
      description: `${names.join('; ')}.`,
      enum: setting.choices.map(([value]) => value),
      default: byDefault,
    };
  }
  const { min, max, partOf, onlyWith } = setting;
  const described = partOf
    ? `A part of ${partOf}.`
    : unit === ''
      ? 'A number without a unit.'
      : `In ${unit}.`;
  const only = onlyWith ? ` Matters only where ${onlyWith.path} is ${onlyWith.values.join(' or ')}.` : '';
  return {
    type: 'number',
    title: label,
    description: `${described}${only}`,
    minimum: min,
    maximum: max,
    default: byDefault,
  };
}
