import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { OPEN } from './recordings.ts';

const folders = readdirSync(OPEN, { withFileTypes: true }).filter((entry) => entry.isDirectory());
const table = readFileSync(join(OPEN, 'README.md'), 'utf8');
/** The row of the table that is about one file. */
const rowOf = (file: string) => table.split('\n').find((line) => line.startsWith(`| \`${file}\` `));

test('every extract stands with its licence, and the table says whose it is, from which commit, and how many lines', () => {
  expect(folders.length).toBeGreaterThan(0);
  for (const { name } of folders) {
    const files = readdirSync(join(OPEN, name));
    expect(readFileSync(join(OPEN, name, 'LICENSE'), 'utf8')).toMatch(
      /MIT License|Creative Commons|Attribution 4\.0/,
    );
    for (const file of files.filter((own) => own.endsWith('.csv'))) {
      const row = rowOf(`${name}/${file}`);
      expect(row, `${name}/${file} is not in the table`).toBeDefined();
      expect(row).toMatch(/\b[0-9a-f]{40}\b/);
      const lines = readFileSync(join(OPEN, name, file), 'latin1').split('\n').length - 1;
      expect(row).toContain(`| ${lines} |`);
    }
  }
});

test('all extracts together are less than 3 MB', () => {
  const files = folders.flatMap(({ name }) =>
    readdirSync(join(OPEN, name)).map((file) => join(OPEN, name, file)),
  );
  expect(files.reduce((sum, file) => sum + statSync(file).size, 0)).toBeLessThan(3e6);
});
