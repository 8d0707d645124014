import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Download, Page } from 'playwright-core';
import { expect, test } from 'vitest';
import type { SettingsBody, WorkspaceBody } from '../../server/http/schemas.ts';
import { describeInBrowser, openTake, unfold } from './harness.ts';

const PERFORMERS = ['Lead spinner', 'Stage duellist', 'Beginner'];
/** In a syntax that no program has. */
const TEMPLATE =
  'blade "{{setting.name}}" closes over {{guard.speedDps in rad/s to 3 decimals}} for {{guard.holdMs in samples}}\n';

describeInBrowser('settings of three performers', { withDemo: true }, (bench) => {
  const get = async <Body>(path: string) =>
    (await fetch(`${bench.server.address}/api/${path}`)).json() as Promise<Body>;

  async function saved(download: Download, name: string): Promise<string> {
    const path = join(bench.workspace, '..', name);
    await download.saveAs(path);
    return path;
  }

  /** Finds a guard for one performer's takes in Sweep, and takes it into A. @returns the setting in words */
  async function findGuard(page: Page, performer: string): Promise<string> {
    const { takes } = await get<WorkspaceBody>('workspace');
    const own = takes.filter((take) => take.performer === performer);
    await page.goto(
      `${bench.server.address}/#view=sweep&take=${own[0]!.id}&takes=${own.map(({ id }) => id)}&candidate=a,b`,
    );
    await page.reload();
    const card = page.locator('.suggestion');
    await card.locator('.headline').waitFor({ timeout: 60_000 });
    const take = card.getByRole('button', { name: 'Take it into A' });
    if (await take.isVisible()) await take.click();
    return card.locator('.headline').innerText();
  }

  test('are found, kept, judged, and leave on sheets, as a header and by a template', async () => {
    const page = await openTake(bench, 'Wall-plane');
    const found: string[] = [];
    for (const performer of PERFORMERS) {
      found.push(await findGuard(page, performer));
      await page.getByRole('button', { name: 'Keep A…' }).click();
      const dialog = page.getByRole('dialog');
      expect(await dialog.getByLabel('Name').inputValue()).toBe(performer);
      expect(await dialog.getByRole('checkbox', { name: performer }).isChecked()).toBe(true);
      await dialog.getByLabel('Prop').fill('Lantern blade 3');
      await dialog.getByRole('button', { name: 'Keep', exact: true }).click();
      await dialog.waitFor({ state: 'detached' });
    }
    await page.getByRole('button', { name: 'Kept settings', exact: true }).click();
    const card = (name: string) =>
      page.locator('.kept-card', { has: page.getByRole('heading', { name, exact: true }) });
    for (const [i, performer] of PERFORMERS.entries()) {
      await card(performer).getByText('up to date').waitFor({ timeout: 60_000 });
      expect(await card(performer).locator('.headline').innerText()).toContain(found[i]!);
    }
    // The three differ, and each does as Sweep said on its own performer's takes.
    expect(new Set(found).size).toBe(3);
    const { settings } = await get<SettingsBody>('settings');
    expect(settings.map(({ name }) => name).sort()).toEqual([...PERFORMERS].sort());
    for (const { name, evidence } of settings) {
      expect(evidence!.takes.map(({ performer }) => performer)).toEqual(evidence!.takes.map(() => name));
      expect(evidence!.chosen.guard).toBe('suggested');
      expect(evidence!.problems[0]!.wrong['strays']!.k).toBe(0);
    }

    // A take's mark goes by its performer's own setting.
    await page.locator('.take', { hasText: 'First lesson' }).getByText('kept: clear').waitFor();

    // Each on a sheet of its own, opened from disk without a network.
    for (const performer of PERFORMERS) {
      await card(performer).getByRole('button', { name: 'Hand over…' }).click();
      const dialog = page.getByRole('dialog');
      await dialog.getByLabel('As').selectOption('sheet');
      const waiting = page.waitForEvent('download');
      await dialog.getByRole('button', { name: 'Save' }).click();
      const path = await saved(await waiting, `${performer}.html`);
      await dialog.getByRole('button', { name: 'Close', exact: true }).last().click();
      await lookAtSheet(path, performer);
    }

    // Into a header, and into a template of one's own.
    const spinner = settings.find(({ name }) => name === 'Lead spinner')!;
    await card('Lead spinner').getByRole('button', { name: 'Hand over…' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel('As').selectOption('header');
    await dialog.getByText('Filled in from the take').waitFor();
    await dialog.getByLabel('Samples a second on the prop').fill('208');
    const header = page.waitForEvent('download');
    await dialog.getByRole('button', { name: 'Save' }).click();
    const text = readFileSync(await saved(await header, 'setting.h'), 'utf8');
    const { speedDps, holdMs } = spinner.candidate.guard;
    expect(text).toMatch(new RegExp(`GUARD_SPEED_DPS\\s+${speedDps}`));
    expect(text).toContain('Setting: Lead spinner');
    const template = join(bench.workspace, '..', 'blade.conf');
    writeFileSync(template, TEMPLATE);
    await dialog.getByLabel('As').selectOption('template');
    const chooser = page.waitForEvent('filechooser');
    await dialog.getByRole('button', { name: 'Choose a template…' }).click();
    const filled = page.waitForEvent('download');
    await (await chooser).setFiles(template);
    const [speed, samples] = [((speedDps * Math.PI) / 180).toFixed(3), Math.ceil((holdMs * 208) / 1000)];
    expect(readFileSync(await saved(await filled, 'filled.conf'), 'utf8')).toBe(
      `blade "Lead spinner" closes over ${speed} for ${samples}\n`,
    );
    await dialog.getByRole('button', { name: 'Close', exact: true }).last().click();

    // One label more, and the setting that rests on it is out of date; a press judges it anew.
    await page.locator('.take', { hasText: 'First lesson' }).click();
    await page.locator('.stave-speed .over').waitFor();
    await page.keyboard.press('n');
    await page.keyboard.press('u');
    await page.locator('[data-save="saved"]').waitFor();
    await page.getByRole('button', { name: 'Kept settings', exact: true }).click();
    await card('Beginner').getByText('out of date').waitFor();
    expect(await card('Lead spinner').getByText('up to date').count()).toBe(1);
    await card('Beginner').getByRole('button', { name: 'Judge anew' }).click();
    await card('Beginner').getByText('up to date').waitFor({ timeout: 60_000 });

    // Compare: each setting on each performer.
    await page.getByRole('button', { name: 'Compare', exact: true }).click();
    await unfold(page, 'each on everybody');
    const row = page.locator('.settings-matrix tbody tr', { hasText: 'Beginner' });
    await expect.poll(() => row.locator('td.is-own').innerText(), { timeout: 60_000 }).toMatch(/^0\/\d+$/);

    // Another for the same performer and prop can take the place of what is kept for them.
    await page.getByRole('button', { name: 'Kept settings', exact: true }).click();
    await page.getByRole('button', { name: 'Keep A…' }).click();
    await page.getByRole('dialog').getByLabel('Prop').fill('Lantern blade 3');
    await page.getByRole('button', { name: 'Replace “Beginner” by it' }).click();
    await page.getByText('“Beginner” has the values of candidate A now.').waitFor();
    expect((await get<SettingsBody>('settings')).settings).toHaveLength(3);
    expect(bench.errors).toEqual([]);
  }, 240_000);

  async function lookAtSheet(path: string, performer: string): Promise<void> {
    const context = await bench.browser.newContext({ offline: true });
    const sheet = await context.newPage();
    const asked: string[] = [];
    sheet.on('request', (request) => asked.push(request.url()));
    const address = pathToFileURL(path).href;
    await sheet.goto(address);
    expect(asked).toEqual([address]);
    expect(await sheet.getByRole('heading', { level: 1 }).innerText()).toContain(performer);
    const text = await sheet.locator('body').innerText();
    for (const part of ['Lantern blade 3', 'synthetic', 'no safety device', '95 %'])
      expect(text).toContain(part);
    expect(await sheet.locator('svg').count()).toBeGreaterThan(0);
    for (const media of ['screen', 'print'] as const) {
      await sheet.emulateMedia({ media });
      const { ink, paper } = await sheet.evaluate(() => {
        const style = getComputedStyle(document.body);
        return { ink: style.color, paper: getComputedStyle(document.documentElement).backgroundColor };
      });
      expect(ink, media).not.toBe(paper);
    }
    await context.close();
  }
});
