import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import type { TakeDocument } from '../../server/http/schemas.ts';
import {
  describeInBrowser,
  openTake,
  putCandidates,
  score,
  showSettings,
  takeNamed,
  unfold,
  type Workbench,
} from './harness.ts';
import { addTake, changeTake, removeTake, withPresses } from './takes.ts';

const TOO_FEW = '3 stray presses and 2 wanted ones are too few to tell settings apart: it takes 5 of each.';
const TITLE = 'Wall plane, dead channel';
/** Anything that reads as a setting, or puts one into a candidate. */
const SETTING = /\d+ °\/s, (hold )?\d+ ms|set B to|Take it/;

/** One workspace for all: with the demo's takes, then with two of them, with few presses, and last with an unfit one. */
describeInBrowser('advice', { withDemo: true }, (bench) => {
  let [wall, lesson]: TakeDocument[] = [];
  beforeAll(async () => {
    await putCandidates(bench);
    wall = await takeNamed(bench, 'Wall-plane reversals');
    lesson = await takeNamed(bench, 'First lesson');
  });

  test('a performer’s takes are chosen by one click, and what is said fits that choice', async () => {
    const page = await openTake(bench, 'Parry drill', 'sweep');
    await page.getByRole('button', { name: 'Deflection', exact: true }).click();
    await page.locator('.scope button', { hasText: 'Stage duellist' }).click();
    await expect.poll(() => page.url()).toMatch(/&takes=[a-z0-9-]+,[a-z0-9-]+,[a-z0-9-]+$/);
    await page.locator('.sweep-grid:not(.is-old) .suggestion .basis, .decline').first().waitFor();
    expect(await page.locator('.suggestion').innerText()).not.toContain('one performer');

    await page.getByRole('button', { name: /^Choose/ }).click();
    await page.locator('.scope-list legend button', { hasText: 'Beginner' }).click();
    await expect.poll(() => page.url()).toMatch(/&takes=[a-z0-9-]+$/);
    // The figures at the right are of the open take, and it is not the one looked at.
    await showSettings(page);
    const words = page.locator('.scores .caution-line');
    expect(await words.innerText()).toBe(
      'In “Parry drill” alone. Sweep looks at another take: figures and labels below are of “Parry drill”.',
    );
  });

  test('in Sweep, swings missed have their causes, as in Tune', async () => {
    const page = await openTake(bench, 'First lesson', 'sweep');
    await page.getByRole('button', { name: /^All / }).click();
    await page.getByRole('button', { name: 'Deflection', exact: true }).click();
    await page.locator('[data-causes]').waitFor({ timeout: 100_000 });
    expect(await page.locator('[data-causes]').innerText()).toMatch(
      /^Of the swings missed: \d+ (too slow|not armed again|smoothed too much|within the rest)/,
    );
    await unfold(page, 'Why this one');
    expect(await page.locator('.suggestion .borders').innerText()).toMatch(
      /Wrong even so: the swing at [\d.]+ s of .+ is missed, (too slow: it reaches|not armed again|smoothed|within)/,
    );
    expect(bench.errors).toEqual([]);
  });

  test('with three strays and two wanted presses no view gives a number or a button, and all say it in the same words', async () => {
    await changeTake(bench, wall!, { labels: withPresses(wall!, 2, 1) });
    await changeTake(bench, lesson!, { labels: withPresses(lesson!, 1, 1) });
    await keepOnly(bench, [wall!.id, lesson!.id]);
    const page = await openTake(bench, 'Wall-plane', 'sweep');
    await page.getByRole('button', { name: 'All 2 takes' }).click();
    // Spins and stops may do where presses are too few; what is judged here is the presses.
    await page.locator('[aria-label="Judged by"] button', { hasText: 'By presses' }).click();
    const suggestion = page.locator('.sweep-grid:not(.is-old) .suggestion');
    await suggestion.locator('.decline').waitFor();
    expect(await suggestion.innerText()).toContain(TOO_FEW);
    expect(await suggestion.innerText()).not.toMatch(SETTING);
    await unfold(page, 'What each rule buys');
    const tradeOff = page.locator('.trade-off');
    expect(await tradeOff.innerText()).toContain(TOO_FEW);
    expect(await tradeOff.locator('.map-readout').count()).toBe(0);

    await page.getByRole('button', { name: 'Compare', exact: true }).click();
    await unfold(page, 'One guard for all');
    const sharing = page.locator('[aria-label="One setting for all, or one each"]');
    await sharing.locator('.decline').waitFor({ timeout: 60_000 });
    expect(await sharing.innerText()).toContain(TOO_FEW);
    expect(await sharing.innerText()).toContain('Sweep can judge a guard by motion alone');
    expect(await sharing.innerText()).not.toMatch(SETTING);
    expect(await sharing.locator('button', { hasText: 'Take it' }).count()).toBe(0);

    await page.getByRole('button', { name: 'Reversals', exact: true }).click();
    const slips = page.locator('.slips');
    // Take by take: it is said of both once both are read.
    await expect.poll(() => slips.innerText(), { timeout: 60_000 }).toContain(TOO_FEW);
    expect(await slips.innerText()).not.toMatch(SETTING);
    // What happened is still told.
    expect(await slips.locator('li p').count()).toBeGreaterThan(0);
  });

  test('swings too few for a suggestion give no smallest change of the deflection either', async () => {
    const swings = lesson!.labels.swings.slice(0, 2);
    const [startUs, endUs] = [swings[1]!.endUs + 1, Math.floor(lesson!.report.durationS * 1e6)];
    const none = { startUs, endUs, kind: 'no swing', by: 'person' as const };
    await changeTake(bench, lesson!, { labels: { ...lesson!.labels, swings, spans: [none] } });
    const page = await openTake(bench, 'First lesson');
    const group = page.locator('.settings', { hasText: 'Swing deflection' });
    await group.locator('summary').click();
    await group.locator('.number input').first().fill('900');
    await expect.poll(() => score(page, 'missed')).toBe('2');
    const words = '2 swings are too few to tell settings apart: it takes 5.';
    const missed = page.locator('[data-lane="missed-a"]');
    const shape = (await missed.locator('.lane-missed').getAttribute('d'))!;
    const left = Number(/^M([\d.]+)/.exec(shape)![1]) + 3.5;
    const reach = (await missed.locator('.reach').boundingBox())!;
    await page.mouse.move(reach.x + left, reach.y + reach.height / 2);
    const hint = await page.locator('.hint').innerText();
    expect(hint).toContain(words);
    expect(hint).not.toContain('It would deflect with');
    await page.getByRole('button', { name: 'Sweep', exact: true }).click();
    await page.getByRole('button', { name: 'Deflection', exact: true }).click();
    await page.locator('.suggestion .decline').waitFor();
    expect(await page.locator('.suggestion').innerText()).toContain(words);
  });

  test('a take that the signal check fails is marked, and left out of Sweep, Compare and Plan in words, until it is included by hand', async () => {
    await addUnfit(bench, wall!, lesson!);
    const page = await openTake(bench, 'Wall-plane reversals', 'sweep');
    await page.getByRole('button', { name: 'All 3 takes' }).click();
    const row = page.locator('.take', { hasText: TITLE });
    await row.locator('[data-unfit="out"]').waitFor({ timeout: 60_000 });
    const line = page.locator('[data-fitness="out"]');
    const why = `“${TITLE}” (the signal check fails it on stuck channels)`;
    expect(await line.innerText()).toContain(why);
    await expect.poll(() => basis(page)).toMatch(/39 press labels|39 by the simulation/);

    await page.getByRole('button', { name: 'Compare', exact: true }).click();
    await page.locator('[data-compare="done"]').waitFor({ timeout: 60_000 });
    expect(await line.innerText()).toContain(why);
    await unfold(page, 'Every score');
    expect(await page.locator('[data-compared]').count()).toBe(2);

    await page.getByRole('button', { name: 'Plan', exact: true }).click();
    await page.locator('[data-plan="whole"]').waitFor({ timeout: 60_000 });
    expect(await line.innerText()).toContain(why);
    const strays = () => page.locator('[data-drill="strays"] .drill-count').innerText();
    expect(await strays()).toMatch(/^14 of 59/);

    await line.getByRole('button', { name: 'Include it even so' }).click();
    await page.locator('[data-fitness="included"]').waitFor();
    await expect.poll(strays).toMatch(/^24 of 59/);
    const { id } = await takeNamed(bench, TITLE);
    const file = join(bench.workspace, 'takes', id, 'take.json');
    expect(JSON.parse(readFileSync(file, 'utf8'))).toMatchObject({ useUnfit: true });

    await page.getByRole('button', { name: 'Sweep', exact: true }).click();
    await page.reload();
    await row.locator('[data-unfit="included"]').waitFor({ timeout: 60_000 });
    expect(await page.locator('[data-fitness="included"]').innerText()).toContain(TITLE);
    await expect.poll(() => basis(page), { timeout: 60_000 }).toMatch(/20 press labels by a person, 39/);
    await page.getByRole('button', { name: 'Leave it out' }).click();
    await row.locator('[data-unfit="out"]').waitFor();
    expect(bench.errors).toEqual([]);
  });
});

async function keepOnly(bench: Workbench, ids: readonly string[]): Promise<void> {
  const answer = await fetch(`${bench.server.address}/api/workspace`);
  const { takes } = (await answer.json()) as { takes: { id: string }[] };
  for (const { id } of takes) if (!ids.includes(id)) await removeTake(bench, id);
}

/** Both takes with all of their labels again, and one more with the presses of the first and a dead channel. */
async function addUnfit(bench: Workbench, wall: TakeDocument, lesson: TakeDocument): Promise<void> {
  await changeTake(bench, wall, { labels: wall.labels });
  await changeTake(bench, lesson, { labels: lesson.labels });
  const log = { name: 'dead.csv', text: withDeadChannel(), title: TITLE, performer: 'Lead spinner' };
  const dead = await addTake(bench, log);
  const by = 'person' as const;
  const presses = wall.labels.presses.map((press) => ({ ...press, button: dead.powerButton!, by }));
  await changeTake(bench, dead, { labels: { ...dead.labels, presses } });
}

/** The wall-plane take with one axis of its accelerometer stuck at 0. */
function withDeadChannel(): string {
  const text = readFileSync(new URL('../../fixtures/spinner-wall-plane.csv', import.meta.url), 'utf8');
  const [head, ...rows] = text.trimEnd().split('\n');
  const at = head!.split(';').findIndex((name) => name.startsWith('Acc X'));
  const dead = rows.map((row) =>
    row
      .split(';')
      .map((cell, i) => (i === at ? '0' : cell))
      .join(';'),
  );
  return `${[head, ...dead].join('\n')}\n`;
}

async function basis(page: Page): Promise<string> {
  return page
    .locator('.sweep-grid:not(.is-old) .suggestion .basis')
    .innerText({ timeout: 1000 })
    .catch(() => '');
}
