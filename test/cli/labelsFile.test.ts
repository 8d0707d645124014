import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { DataError } from '../../server/cli/io.ts';
import { readLabels } from '../../server/cli/labelsFile.ts';
import { temporaryFolder } from '../store/temporaryFolder.ts';

const END_US = 5_000_000;
const presses = [{ button: 'power', downUs: 1_000_000, upUs: null }];

function file(name: string, text: string): string {
  const path = join(temporaryFolder(), name);
  writeFileSync(path, text);
  return path;
}

describe('labels for the command line', () => {
  const json = '{"labels": {"presses": [{"downUs": 1004000, "button": "power", "intent": "stray"}]}}';
  const csv = 'what,kind,startUs,button\npress,stray,1004000,power\npress,wanted,9000000,power\n';
  test.each([
    ['JSON', 'labels.json', json],
    ['JSON with a byte-order mark', 'marked.json', `\uFEFF${json}`],
    ['CSV', 'labels.CSV', csv],
    ['CSV under another ending', 'labels.txt', csv],
  ])('%s: press labels move onto the log’s presses, strangers are left out', (_name, name, text) => {
    const { labels, leftOut } = readLabels(file(name, text), presses, END_US);
    expect(labels.presses).toEqual([{ downUs: 1_000_000, button: 'power', intent: 'stray', by: 'person' }]);
    expect(leftOut).toBe(text === csv ? 'Left out: 1 label of a press that this take does not hold.' : null);
  });

  test.each([
    ['no JSON', 'bad.json', '{', /bad\.json: no JSON/],
    [
      'an unknown intent',
      'worse.json',
      '{"presses":[{"downUs":1,"button":"b","intent":"?"}]}',
      /worse\.json: presses\[0\]\.intent must be wanted, stray or unsure/,
    ],
    ['a table without its columns', 'worse.csv', 'a,b\n1,2\n', /worse\.csv: line 1: no column what, startUs/],
  ])('%s is told with the file’s name', (_name, name, text, message) => {
    const path = file(name, text);
    expect(() => readLabels(path, presses, END_US)).toThrow(DataError);
    expect(() => readLabels(path, presses, END_US)).toThrow(message);
  });

  test('a file that is not there is told of', () => {
    expect(() => readLabels('/nowhere/labels.json', presses, END_US)).toThrow(
      /^there is no file \/nowhere\/labels\.json: check its name/,
    );
  });
});
