import { FORMATS } from '../base/fileKind.ts';
import { KEPT_VERSION } from '../settings/candidateFile.ts';
import { candidateSchema } from './candidateSchema.ts';
import { countSchema, evidenceSchema, scoreSchema, TEXT_AT_MOST } from './evidenceSchema.ts';
import { type JsonSchema, line, listOf, moment, objectOf, text } from './schemaParts.ts';

/**
 * The file of a kept setting as a JSON Schema, draft 2020-12. What no schema can say is checked besides where such a file
 * is read: that k is not above n, that a map is as large as its axes.
 */
export function settingSchema(): JsonSchema {
  const { name, note } = TEXT_AT_MOST;
  const properties = {
    format: { type: 'string', title: 'Kind of document', const: FORMATS.setting },
    version: { type: 'integer', title: 'Version of the document', minimum: 1, maximum: KEPT_VERSION },
    name: line({ title: 'Name of the setting' }, name, 1),
    prop: line({ title: 'Prop that it is for', description: 'Empty where it is for any.' }, name),
    performers: listOf('Performers that it is for', line({ title: 'A performer' }, name, 1), {
      description: 'None where it is for anybody.',
    }),
    note: text({ title: 'Note' }, note),
    keptAt: moment({ title: 'When it was kept, ISO 8601' }),
    candidate: candidateSchema(),
    evidence: evidenceSchema(),
  };
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    $id: `urn:moulinet:setting:${KEPT_VERSION}`,
    ...objectOf('A kept setting', properties),
    description: 'A setting of a prop’s controls with a name, and the evidence that it was kept on.',
    $defs: { score: scoreSchema(), count: countSchema() },
  };
}
