import { SCORE_COLUMNS } from '../compare/cells.ts';
import { PROBLEM_WORDS } from '../words/choose/problems.ts';
import { CANDIDATE_GROUPS } from './candidateSchema.ts';
import { GROUPED } from './keptSetting.ts';
import {
  from0,
  type JsonSchema,
  line,
  listOf,
  moment,
  number,
  objectOf,
  orNull,
  share,
  someOf,
  text,
  whole,
} from './schemaParts.ts';

/** How long texts may be that a person has typed, in characters. */
export const TEXT_AT_MOST = { name: 200, session: 700, note: 20_000 } as const;
/** Sentences of the program, and names of files. */
const WORDS_AT_MOST = 2000;

/** What was found when the setting was judged; null where it never was. */
export function evidenceSchema(): JsonSchema {
  return orNull(
    objectOf('How the setting did on takes', {
      judgedAt: moment({ title: 'When it was judged, ISO 8601' }),
      program: line({ title: 'Version of the program that judged' }, TEXT_AT_MOST.name),
      takes: listOf('Takes that were asked', takeSchema()),
      scores: scoresSchema('Scores over all takes that count'),
      groups: listOf(
        'Scores of each performer, prop and session, where there are several',
        objectOf('A group of takes', {
          by: { title: 'What they share', enum: [...GROUPED] },
          name: line({ title: 'Its name', description: 'Empty where none is said.' }, TEXT_AT_MOST.session),
          scores: scoresSchema('Scores'),
        }),
      ),
      problems: listOf('How each pair of values stands', problemSchema()),
      stills: listOf('Presses that the guard gets wrong, as they would have been seen', stillSchema()),
      chosen: objectOf(
        'Who chose each group of values',
        Object.fromEntries(
          CANDIDATE_GROUPS.map((group) => [
            group,
            { title: `Who chose ${group}`, enum: ['suggested', 'default', 'hand'] },
          ]),
        ),
      ),
    }),
  );
}

/** Coordinates are in blade lengths from the hand, z up; the heading means nothing. */
function stillSchema(): JsonSchema {
  const coordinate = number('A coordinate', { minimum: -1.001, maximum: 1.001 });
  return objectOf('A press', {
    takeId: line({ title: 'Id of its take' }, TEXT_AT_MOST.name, 1),
    title: line({ title: 'Title of its take' }, TEXT_AT_MOST.name),
    atUs: from0('When, in microseconds'),
    intent: { title: 'What it was', enum: ['stray', 'wanted'] },
    text: text({ title: 'What the guard made of it' }, WORDS_AT_MOST),
    light: { title: 'Whether the blade was lit', enum: ['lit', 'dark', 'wronglyDark', 'unknown'] },
    tip: listOf('Where the tip points', coordinate, { minItems: 3, maxItems: 3 }),
    trail: listOf(
      'The way of the tip up to then',
      objectOf('A part of it', {
        isClosed: { type: 'boolean', title: 'Whether the guard was closed' },
        points: listOf('Points, three coordinates each', coordinate, { maxItems: 3000 }),
      }),
    ),
  });
}

function takeSchema(): JsonSchema {
  const name = (title: string) => line({ title }, TEXT_AT_MOST.name);
  const properties = {
    id: line({ title: 'Id of the take in its workspace' }, TEXT_AT_MOST.name, 1),
    title: name('Title'),
    performer: line({ title: 'Performer', description: 'Empty where none is said.' }, TEXT_AT_MOST.name),
    prop: name('Prop; empty where none is said'),
    session: line({ title: 'Session; empty where none is said' }, TEXT_AT_MOST.session),
    isSynthetic: {
      type: 'boolean',
      title: 'Whether it comes from a simulation, and proves nothing of a prop',
    },
    sources: listOf(
      'Recordings that it was made from',
      objectOf('A recording', {
        name: line({ title: 'Name of the file' }, WORDS_AT_MOST),
        sha256: { type: 'string', title: 'SHA-256 of its bytes, in hexadecimal', pattern: '^[0-9a-f]{64}$' },
      }),
    ),
    isMountAssumed: {
      type: 'boolean',
      title: 'Whether the mount was assumed: nobody had stated it, and no swing proved it',
      description: 'Older evidence does not tell.',
    },
    fingerprint: line({ title: 'Changes with all that a judgement rests on' }, TEXT_AT_MOST.name),
    labels: objectOf('How many labels it had', {
      stray: whole('Stray presses'),
      wanted: whole('Wanted presses'),
      swings: whole('Swings'),
      spins: whole('Stretches of spinning'),
      gestures: whole('Thrusts, hits and twists'),
      byPerson: whole('All of these that a person made'),
    }),
    leftOut: orNull(text({ title: 'Why it does not count; null where it does' }, WORDS_AT_MOST)),
    cautions: listOf('What the signal check says against it', text({ title: 'A caution' }, WORDS_AT_MOST)),
  };
  const required = Object.keys(properties).filter((own) => own !== 'isMountAssumed');
  return objectOf('A take', properties, { required });
}

function scoresSchema(title: string): JsonSchema {
  return {
    type: 'object',
    title,
    description: 'Scores with nothing to count are missing.',
    properties: Object.fromEntries(
      SCORE_COLUMNS.map(({ id, says }) => [id, { $ref: '#/$defs/score', description: says }]),
    ),
    additionalProperties: false,
  };
}

/** One score: its `kind` says which of four it is. */
export function scoreSchema(): JsonSchema {
  const kinds = {
    count: { k: whole('How many'), n: whole('Of how many'), interval: intervalSchema() },
    share: { share: share('Part of the time'), ofS: from0('Length of that time, in seconds') },
    ms: { ms: number('A time, in milliseconds') },
    number: { n: whole('How many') },
  };
  return {
    type: 'object',
    title: 'A score',
    properties: { kind: { enum: Object.keys(kinds) } },
    required: ['kind'],
    allOf: Object.entries(kinds).map(([kind, properties]) => ({
      if: { properties: { kind: { const: kind } } },
      // biome-ignore lint/suspicious/noThenProperty: it is a word of JSON Schema.
      then: objectOf(`A ${kind}`, { kind: { const: kind }, ...properties }),
    })),
  };
}

/** A part of what goes wrong. */
export function countSchema(): JsonSchema {
  return objectOf('How many of how many go wrong', {
    k: from0('How many'),
    n: from0('Of how many; for fires that belong to nothing labelled, seconds'),
    interval: intervalSchema(),
  });
}

function intervalSchema(): JsonSchema {
  return orNull(
    objectOf('95 % interval of the share; null where there is none', {
      low: share('Low end'),
      high: share('High end'),
    }),
  );
}

function problemSchema(): JsonSchema {
  const parts = [...new Set(Object.values(PROBLEM_WORDS).flatMap(({ worse }) => Object.keys(worse)))];
  const counts = (title: string) => someOf(title, parts, { $ref: '#/$defs/count' });
  const heldOut = (title: string) =>
    orNull(
      objectOf(title, {
        folds: whole('How many could be left out'),
        wrong: counts('What goes wrong in what was left out'),
        worst: orNull(
          objectOf('The one with most wrong', {
            name: line({ title: 'Take or performer' }, TEXT_AT_MOST.name),
            wrong: counts('What goes wrong there'),
          }),
        ),
      }),
    );
  const point = { x: number('First value'), y: number('Second value') };
  return objectOf('A pair of values', {
    kind: { title: 'What the values are of', enum: Object.keys(PROBLEM_WORDS) },
    ...point,
    declined: orNull(text({ title: 'Why nothing is suggested; null where something is' }, WORDS_AT_MOST)),
    wrong: counts('What goes wrong'),
    suggested: orNull(objectOf('What the program would choose', point)),
    margins: orNull(objectOf('How far each value can change', { x: marginSchema(), y: marginSchema() })),
    byTake: heldOut('Chosen without one take, tried on it'),
    byPerformer: heldOut('Chosen without one performer, tried on theirs'),
    stress: listOf(
      'The same under what may differ on another day',
      objectOf('A stress', {
        name: line({ title: 'What differs' }, TEXT_AT_MOST.name, 1),
        wrong: someOf('What goes wrong', parts, from0('How many')),
        flips: whole('Verdicts that turn round'),
        moreFires: whole('More fires that belong to nothing labelled'),
      }),
    ),
    map: orNull(mapSchema()),
  });
}

function marginSchema(): JsonSchema {
  const border = (title: string) => ({ ...number(title), type: ['number', 'null'] });
  return objectOf('How far a value can change', {
    low: number('Least value tried that is as good'),
    high: number('Largest value tried that is as good'),
    worseBelow: border('First value below that is worse; null where none was found'),
    worseAbove: border('First value above that is worse; null where none was found'),
  });
}

function mapSchema(): JsonSchema {
  const axis = (title: string) =>
    listOf(title, number('A value'), {
      minItems: 2,
      uniqueItems: true,
      description: 'Evenly spaced, rising.',
    });
  return objectOf('All that goes wrong over a grid of both values', {
    xs: axis('First values'),
    ys: axis('Second values'),
    wrong: listOf(
      'What goes wrong, at x * ys.length + y',
      { ...from0('How many; null for what is never suggested'), type: ['number', 'null'] },
      { minItems: 4 },
    ),
    of: from0('Of how many'),
    plateau: listOf('1 for each cell of the best region, in the same order; empty where there is none', {
      enum: [0, 1],
    }),
  });
}
