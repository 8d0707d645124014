import apiText from './api.h?raw';
import {
  type Constant,
  derivedConstants,
  mountConstant,
  type PropBuild,
  settingConstants,
} from './constants.ts';
import exampleText from './example.c?raw';
import sourceText from './prop.c?raw';

/** A file to write: its name and its text. */
export interface TextFile {
  readonly name: string;
  readonly text: string;
}

const NAMED_CHOICES = [
  '#define PROP_UNSMOOTHED 0',
  '#define PROP_FIRST_ORDER 1',
  '#define PROP_BUTTERWORTH 2',
  '#define PROP_MOVING_AVERAGE 3',
  '#define PROP_MEDIAN 4',
  '#define PROP_AT_RESET 0',
  '#define PROP_AT_REST 1',
  '#define PROP_AT_BUTTON 2',
  '#define PROP_AT_PRESS 0',
  '#define PROP_AT_RELEASE 1',
  '#define PROP_WHILE_HELD 2',
  '#define PROP_ANY_PRESS 0',
  '#define PROP_SHORT_PRESS 1',
  '#define PROP_LONG_PRESS 2',
  '#define PROP_ALWAYS 0',
];

/**
 * The reference detectors in C99 for one setting: a header with its constants and the
 * interface, one source, and an example that runs on any computer.
 * @param heading  lines for the header's first comment: what setting this is, and where it comes from.
 */
export function generateC99(build: PropBuild, heading: readonly string[]): TextFile[] {
  const header = [
    comment(heading),
    '#ifndef PROP_H',
    '#define PROP_H',
    '',
    '#include <stdbool.h>',
    '#include <stdint.h>',
    '',
    '/* ---- The setting ---- */',
    '',
    ...NAMED_CHOICES,
    '',
    ...settingConstants(build).map(define),
    '',
    '/* ---- What follows from it at this sample rate ---- */',
    '',
    ...derivedConstants(build).map(define),
  ].join('\n');
  return [
    { name: 'prop.h', text: `${header}\n${apiText}` },
    { name: 'prop.c', text: sourceText },
    { name: 'example.c', text: exampleText },
  ];
}

/** The constants alone, for code that has its own detectors. */
export function generateHeader(build: PropBuild, heading: readonly string[]): TextFile {
  const lines = [
    comment(heading),
    '#ifndef PROP_SETTING_H',
    '#define PROP_SETTING_H',
    '',
    ...NAMED_CHOICES,
    '',
    define(mountConstant(build.calibration)),
    ...settingConstants(build).map(define),
    '',
    '#endif',
  ];
  return { name: 'prop_setting.h', text: `${lines.join('\n')}\n` };
}

function define({ name, value, about }: Constant): string {
  return `#define ${name} ${value}${about === '' ? '' : ` /* ${inComment(about)} */`}`;
}

function comment(lines: readonly string[]): string {
  return `/*\n${lines.map((line) => ` * ${inComment(line)}`.trimEnd()).join('\n')}\n */`;
}

/** Nothing that a user typed ends a comment, or goes on in the next line by a backslash at its end. */
function inComment(text: string): string {
  return text
    .replaceAll('*/', '* /')
    .replaceAll('/*', '/ *')
    .replace(/[\r\n]+/g, ' ')
    .replace(/\\+$/, '')
    .replaceAll('??', '? ?');
}
