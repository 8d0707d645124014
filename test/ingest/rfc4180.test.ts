import { describe, expect, test } from 'vitest';
import { readDialect } from '../../server/ingest/text/dialect.ts';
import { recordEnd, splitRecord } from '../../server/ingest/text/records.ts';

/** All records of a text, cut as the reader cuts them. */
function records(text: string): (string[] | string)[] {
  const found: (string[] | string)[] = [];
  for (let at = 0; at < text.length; ) {
    const end = recordEnd(text, at, ',');
    const stop = end < 0 ? text.length : end;
    found.push(splitRecord(text.slice(at, stop).replace(/(\r\n|\n|\r)$/, ''), ','));
    at = stop;
  }
  return found;
}

// RFC 4180 (Shafranovich, 2005), section 2, rules 1 to 7, and its ABNF.
describe('RFC 4180', () => {
  test.each([
    [
      'rule 1: a record a line',
      'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'rule 2: the last line end may be missing',
      'aaa,bbb,ccc\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'rule 3: a header is a record like others',
      'field_name,field_name,field_name\r\naaa,bbb,ccc\r\n',
      [
        ['field_name', 'field_name', 'field_name'],
        ['aaa', 'bbb', 'ccc'],
      ],
    ],
    ['rule 4: blanks are part of a field', 'a, b ,c', [['a', ' b ', 'c']]],
    [
      'rule 5: quotes around a field are taken off',
      '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'rule 6: a quoted field may hold a line end',
      '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'b\r\nbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    ['rule 6: a quoted field may hold a comma', '"a,a",b', [['a,a', 'b']]],
    ['rule 7: a doubled quote is one', '"aaa","b""bb","ccc"', [['aaa', 'b"bb', 'ccc']]],
  ])('%s', (_name, text, expected) => expect(records(text)).toEqual(expected));

  // Erratum 5714 (2019): the printed examples of rules 5 and 6 have a blank before CRLF, which the ABNF forbids.
  test('erratum 5714: a blank after a closing quote is refused', () => {
    expect(records('"aaa","bbb","ccc" \r\n')).toEqual(['text follows a closing quote']);
  });

  test.each([
    ['a quote inside an unquoted field', 'a"b,c', 'a quote stands inside an unquoted field'],
    ['a quote that is never closed', '"a,b', 'a quote is never closed'],
  ])('%s is refused', (_name, text, why) => expect(splitRecord(text, ',')).toBe(why));
});

describe('own policy beyond RFC 4180', () => {
  test.each([
    [
      'line feeds alone',
      'a,b\n1,2\n3,4\n',
      [
        ['a', 'b'],
        ['1', '2'],
        ['3', '4'],
      ],
    ],
    [
      'carriage returns alone',
      'a,b\r1,2\r3,4\r',
      [
        ['a', 'b'],
        ['1', '2'],
        ['3', '4'],
      ],
    ],
    [
      'blank lines are skipped',
      'a,b\n\n1,2\n\n3,4\n',
      [
        ['a', 'b'],
        ['1', '2'],
        ['3', '4'],
      ],
    ],
    [
      'a comma at the end opens an empty field',
      'a,b,\n1,2,\n3,4,\n',
      [
        ['a', 'b', ''],
        ['1', '2', ''],
        ['3', '4', ''],
      ],
    ],
    [
      'rows of other lengths stay as they are',
      'a,b\n1,2\n3,4\n5,6\n7\n',
      [['a', 'b'], ['1', '2'], ['3', '4'], ['5', '6'], ['7']],
    ],
  ])('%s', (_name, text, expected) => {
    expect(readDialect(text).records.map(({ fields }) => fields)).toEqual(expected);
  });

  test.each([
    [',', '.', 'a,b\n1.5,2\n2.5,3\n'],
    [';', '.', 'a;b\n1.5;2\n2.5;3\n'],
    [';', ',', 'a;b\n1,5;2,0\n2,5;3,1\n'],
    ['\t', ',', 'a\tb\n1,5\t2,0\n2,5\t3,1\n'],
    ['|', '.', 'a|b\n1.5|2\n2.5|3\n'],
    [' ', '.', 'a b\n1.5  2\n2.5  3\n'],
    [';', '.', 'sep=;\na;b\n1;2\n3;4\n'],
  ])('delimiter %j and decimal sign %j are found', (delimiter, decimal, text) => {
    expect(readDialect(text).dialect).toMatchObject({ delimiter, decimal });
  });

  test('line numbers count physical lines', () => {
    expect(readDialect('# c\n"x\ny",b\n1,2\n').records.map(({ line }) => line)).toEqual([2, 4]);
  });
});
