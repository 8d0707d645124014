import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type BuiltServer, launchServer, makeEmptyWorkspace } from '../scripts/builtServer.ts';
import { axeFaults } from './axe.ts';
import { dropBytes } from './drop.ts';
import { describeInBrowser } from './harness.ts';

describeInBrowser('takes for somebody else', { withDemo: true }, (bench) => {
  let other: BuiltServer;
  let theirs: Page;
  let zip: string;

  beforeAll(async () => {
    const folder = join(bench.workspace, '..', 'other');
    makeEmptyWorkspace(folder);
    other = await launchServer(folder, '--no-demo');
    theirs = await (await bench.browser.newContext()).newPage();
    await theirs.goto(other.address);
    await theirs.getByText('Nothing recorded yet.').waitFor();
  });

  afterAll(async () => {
    await theirs.context().close();
    await other.stop();
  });

  const dialog = () => theirs.locator('dialog[open]');
  const theirTakes = () => theirs.locator('.take .take-title').allInnerTexts();
  const drop = (name: string, bytes: Buffer) => dropBytes(theirs, name, bytes);

  test('chosen takes are saved as one zip', async () => {
    const page = await bench.openPage();
    await page.getByRole('button', { name: 'Share takes…' }).click();
    await page.getByRole('button', { name: 'None' }).click();
    expect(await page.getByRole('button', { name: 'Choose takes' }).isDisabled()).toBe(true);
    for (const title of ['Parry drill', 'Twist dial']) await page.getByLabel(title).check();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save 2 takes as a zip' }).click(),
    ]);
    expect(download.suggestedFilename()).toMatch(/^moulinet-[\d-]{10}\.zip$/);
    zip = join(bench.workspace, '..', 'shared.zip');
    await download.saveAs(zip);
    expect(bench.errors).toEqual([]);
  });

  test('what they would bring is told before anything is written', async () => {
    await drop('shared.zip', readFileSync(zip));
    await dialog().getByRole('button', { name: 'Bring it in' }).waitFor();
    const text = await dialog().innerText();
    expect(text).toContain('Takes from shared.zip');
    expect(text).toContain('Nothing has been changed yet');
    for (const title of ['Parry drill', 'Twist dial']) expect(text).toContain(title);
    expect(text).not.toContain('Full routine');
    expect(await axeFaults(theirs)).toEqual([]);
    await dialog().getByRole('button', { name: 'Cancel' }).click();
    expect(await theirTakes()).toEqual([]);
  });

  test('brought in they are there with their labels; the same zip again brings nothing', async () => {
    await drop('shared.zip', readFileSync(zip));
    await dialog().getByRole('button', { name: 'Bring it in' }).click();
    await theirs.locator('.notice', { hasText: '2 takes came in.' }).waitFor();
    expect((await theirTakes()).sort()).toEqual(['Parry drill', 'Twist dial']);
    await theirs.locator('.stave-speed .over').waitFor();
    const [ours, brought] = await Promise.all(
      [bench.server.address, other.address].map(async (address) => {
        const { takes } = await (await fetch(`${address}/api/workspace`)).json();
        const id = takes.find(({ title }: { title: string }) => title === 'Parry drill').id;
        const { revision, ...take } = await (await fetch(`${address}/api/takes/${id}`)).json();
        return take;
      }),
    );
    expect(brought).toEqual(ours);
    expect(brought.labels.presses.length).toBeGreaterThan(0);

    await drop('shared.zip', readFileSync(zip));
    await dialog().getByText('All of it is here already.').waitFor();
    expect(await dialog().getByRole('button', { name: 'Bring it in' }).count()).toBe(0);
    await dialog().getByRole('button', { name: 'Close', exact: true }).last().click();
    expect((await theirTakes()).length).toBe(2);
  });

  test('a zip that is none is told of, and leaves everything as it is', async () => {
    await drop('spoilt.zip', Buffer.from('no zip'));
    await dialog().getByRole('alert').waitFor();
    expect(await dialog().getByRole('alert').innerText()).toContain(
      'spoilt.zip: it is no zip file that can be read',
    );
    expect(await axeFaults(theirs)).toEqual([]);
    await dialog().getByRole('button', { name: 'Cancel' }).click();
    expect((await theirTakes()).length).toBe(2);
  });
});
