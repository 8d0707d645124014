import { describe, expect, test } from 'vitest';
import { newTakeId, newUploadId, parseTakeId, parseUploadId } from '../../server/store/ids.ts';

const NO_IDS = [
  '',
  '.',
  '..',
  '../x',
  'a/b',
  'a\\b',
  '/etc/passwd',
  'A',
  'ä',
  '-a',
  'a b',
  'a.json',
  'a\0',
  'a\n',
  'C:',
  'a'.repeat(65),
];

describe('ids', () => {
  test.each(NO_IDS.map((text) => [JSON.stringify(text), text]))('no take has the id %s', (_shown, text) => {
    expect(() => parseTakeId(text)).toThrow('No take has this id');
  });

  test.each(NO_IDS.map((text) => [JSON.stringify(text), text]))('no upload has the id %s', (_shown, text) => {
    expect(() => parseUploadId(text)).toThrow('No upload has this id');
  });

  test.each([['a'], ['0'], ['slow-carry-4f1c09aa'], ['a'.repeat(64)]])('%s is an id', (text) => {
    expect(parseTakeId(text)).toBe(text);
  });

  test.each([
    ['Slow carry', /^slow-carry-[0-9a-f]{8}$/],
    ['  Été: übung №3!  ', /^e-te-u-bung-no3-[0-9a-f]{8}$/],
    ['../../etc', /^etc-[0-9a-f]{8}$/],
    ['振る', /^take-[0-9a-f]{8}$/],
    ['', /^take-[0-9a-f]{8}$/],
    ['x'.repeat(500), /^x{48}-[0-9a-f]{8}$/],
    [`${'x'.repeat(47)} y`, /^x{47}-[0-9a-f]{8}$/],
  ])('the id of a new take says what it is: %j', (title, expected) => {
    expect(newTakeId(title)).toMatch(expected);
  });

  test('new ids differ', () => {
    const ids = new Set(Array.from({ length: 200 }, () => newUploadId()));
    expect(ids.size).toBe(200);
  });
});
