import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { formatLabelsJson } from '../../server/engine/labels/labelsWrite.ts';
import { parseCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { describeInBrowser, openTake, score } from './harness.ts';

const HOLD = '.settings .number input >> nth=1';

describeInBrowser('candidates as files', { withDemo: true }, (bench) => {
  let page: Page;
  beforeAll(async () => {
    page = await openTake(bench, 'Wall-plane');
  });

  test('what is set in A, exported, and imported into B is the same candidate there, and undo brings B’s own back', async () => {
    await edit('A');
    await page.locator(HOLD).fill('137');
    await page.locator('details.settings', { hasText: 'Smoothing' }).locator('summary').click();
    await page
      .locator('details.settings', { hasText: 'Smoothing' })
      .locator('select')
      .first()
      .selectOption('median');
    const exported = await exportEdited();
    const candidate = parseCandidateFile(readFileSync(exported, 'utf8'));
    expect(candidate.guard.holdMs).toBe(137);
    expect(candidate.smoothing.kind).toBe('median');

    await edit('B');
    const own = await page.locator(HOLD).inputValue();
    expect(own).not.toBe('137');
    await importEdited(exported);
    await expect.poll(() => page.locator(HOLD).inputValue()).toBe('137');
    expect(parseCandidateFile(readFileSync(await exportEdited(), 'utf8'))).toEqual(candidate);
    for (const name of ['stray', 'wanted'])
      expect(await score(page, name, 'b')).toBe(await score(page, name, 'a'));

    await page.keyboard.press('Control+z');
    await expect.poll(() => page.locator(HOLD).inputValue()).toBe(own);
  });

  test('a file that is no candidate changes nothing, and its place in the file is told', async () => {
    const before = await exportEdited();
    const document = JSON.parse(readFileSync(before, 'utf8'));
    const spoilt = join(bench.workspace, '..', 'spoilt.json');
    writeFileSync(spoilt, JSON.stringify({ ...document, guard: { ...document.guard, speedDps: 1 } }));
    await importEdited(spoilt);
    const notice = page.locator('.notice.is-error');
    await notice.waitFor();
    expect(await notice.innerText()).toContain(
      'spoilt.json: guard.speedDps: must be a number from 5 to 4000 °/s, got 1',
    );
    expect(JSON.parse(readFileSync(await exportEdited(), 'utf8'))).toEqual(document);
    expect(bench.errors).toEqual([]);
  });

  test('labels, handed in as a candidate, are called what they are, with where they belong', async () => {
    const labels = join(bench.workspace, '..', 'labels.json');
    writeFileSync(labels, formatLabelsJson(EMPTY_LABELS, 'Wall-plane'));
    await importEdited(labels);
    await page
      .locator('.notice.is-error')
      .getByText('labels.json: this is a file of labels: open its take and choose Import… under its labels')
      .waitFor();
  });

  async function edit(slot: 'A' | 'B'): Promise<void> {
    await page.locator('.candidate-bar').getByRole('button', { name: slot, exact: true }).click();
  }

  async function unfoldFiles(): Promise<void> {
    const button = page.getByRole('button', { name: /^Export [AB]$/ });
    if (!(await button.isVisible())) await page.locator('.candidate-more summary').click();
  }

  async function exportEdited(): Promise<string> {
    await unfoldFiles();
    const waiting = page.waitForEvent('download');
    await page.getByRole('button', { name: /^Export [AB]$/ }).click();
    const download = await waiting;
    expect(download.suggestedFilename()).toMatch(/^candidate-[ab]\.json$/);
    const path = join(bench.workspace, '..', download.suggestedFilename());
    await download.saveAs(path);
    return path;
  }

  async function importEdited(path: string): Promise<void> {
    await unfoldFiles();
    const waiting = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: /^Import into [AB]/ }).click();
    await (await waiting).setFiles(path);
  }
});
