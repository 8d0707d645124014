import { expect, test } from 'vitest';
import { describePreview, neededOf } from '../../server/cli/inspectText.ts';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { textSource } from '../ingest/logs.ts';

test('a question about the clock comes with the options that answer it', () => {
  const needs = ['say whether rows follow each other evenly'];
  const [asked] = neededOf({ needs, isClockOpen: true } as never);
  expect(asked).toBe(
    'say whether rows follow each other evenly (--clock even, with --rate HZ where the sample rate is known, or --clock stamps)',
  );
  expect(neededOf({ needs, isClockOpen: false } as never)).toEqual(needs);
});

test('a button in doubt comes with the option that reads it the other way round, once', async () => {
  const rows = Array.from({ length: 200 }, (_, i) => `${i * 10},0,0,1,0,0,0,${i > 90 && i < 100 ? 0 : 1}`);
  const text = ['time_ms,ax_g,ay_g,az_g,gx_dps,gy_dps,gz_dps,button', ...rows].join('\n');
  const told = describePreview(['a.csv'], await previewLog([textSource(text)], {}, {}));
  expect(told.match(/other way round.*/g)).toEqual(['other way round: --map button:activeHigh=button']);
});
