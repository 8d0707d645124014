import { linkSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { PressLabel } from '../../server/engine/labels/labels.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { Choreography } from '../simulate/choreography.ts';
import { writeCsv } from '../simulate/csv.ts';
import { DEVICES } from '../simulate/demo/devices.ts';
import { DIALECTS } from '../simulate/demo/dialects.ts';
import { begin, end, outAndOn, strayAtTurn, strayMidSwing } from '../simulate/demo/session.ts';
import { reversals } from '../simulate/moves.ts';
import { type SimulatedTake, simulateTake } from '../simulate/take.ts';
import { addTake, send, serve } from './served.ts';

const DOCUMENT = 'take.json';
const RATE_HZ = 500;
const DURATION_S = 300;
/** A set begins no later than so long before the end. */
const LAST_SET_S = 17;
const STAND = { heading: 15, tilt: 4, bank: 85 };
/** Performers with a recording of their own; further takes are copies of these. */
const PERFORMERS = ['Lead spinner', 'Second spinner', 'Stage duellist', 'Understudy', 'Beginner'];

/**
 * Makes a workspace of so many takes at 500 Hz, of 5 minutes unless told otherwise: simulated reversals with labelled presses, stray and wanted,
 * by five performers. Each performer's first is simulated and added through the program itself; the rest are copies of
 * those under names of their own, with hard links for all that is long. Each has a lever arm of its own, by a micrometre:
 * what is remembered of one take answers for no other.
 */
export async function makeManyTakes(workspace: string, count: number, seconds = DURATION_S): Promise<void> {
  const served = await serve(workspace, '--no-demo');
  try {
    for (const [seed, performer] of PERFORMERS.slice(0, count).entries())
      await addLabelled(served.address, longTake(seed + 1, seconds, RATE_HZ), performer);
  } finally {
    await served.stop();
  }
  copyTakes(join(workspace, 'takes'), count);
}

function copyTakes(folder: string, count: number): void {
  const originals = readdirSync(folder).sort();
  for (let i = originals.length; i < count; ++i) {
    const id = `copy-${String(i + 1).padStart(4, '0')}`;
    const from = join(folder, originals[i % originals.length]!);
    const to = join(folder, id);
    linkFolder(from, to);
    const document = JSON.parse(readFileSync(join(from, DOCUMENT), 'utf8')) as TakeDocument;
    const { calibration } = document;
    const own = { ...calibration, leverArmM: calibration.leverArmM + i * 1e-6 };
    const copy = { ...document, id, title: `Take ${i + 1}`, calibration: own };
    writeFileSync(join(to, DOCUMENT), JSON.stringify(copy));
  }
}

/** All but the document, which each has for itself; the program replaces files as a whole, so that a link shares nothing that is written. */
function linkFolder(from: string, to: string): void {
  mkdirSync(to);
  for (const entry of readdirSync(from, { withFileTypes: true })) {
    const paths = [join(from, entry.name), join(to, entry.name)] as const;
    if (entry.isDirectory()) linkFolder(...paths);
    else if (entry.name !== DOCUMENT) linkSync(...paths);
  }
}

/** Sets of reversals with stops between, a stray press or two in each set and wanted ones at the stops. */
export function longTake(seed: number, seconds: number, rateHz: number): SimulatedTake {
  const c = new Choreography(500 + seed, { tremorDps: 2, tremorMps2: 0.12, swayDeg: 0.9, spread: 0.09 });
  begin(c, STAND, { heading: 5, tilt: 0, bank: 90, swing: 15 });
  while (c.nowS < seconds - LAST_SET_S) {
    const startS = c.nowS;
    const turns = reversals(c, c.between(120, 170), c.between(0.36, 0.6), 14);
    c.mark('spinning', startS, c.nowS);
    strayAtTurn(c, turns[4]!, c.between(-0.02, 0.09));
    strayMidSwing(c, (turns[9]! + turns[10]!) / 2);
    outAndOn(c, c.between(0.26, 1.2));
    c.wait(c.between(0.4, 3));
  }
  c.wait(seconds - 3.8 - c.nowS);
  end(c, STAND);
  return simulateTake({
    rateHz,
    seed,
    clock: { jitterUs: 40, skewPpm: 10, stampStepUs: 100, lostRows: 4, lostRun: null },
    sensor: { name: 'slim', leverArmM: [0.16, 0, 0], mount: { tip: '+x', side: '+y' }, ...DEVICES.slim },
    choreography: c.finish(),
    buttonNames: { power: 'power_button', effect: 'effect_button' },
  });
}

async function addLabelled(address: string, take: SimulatedTake, performer: string): Promise<void> {
  const words = { title: `Long set, ${performer}`, performer, drill: 'reversals' };
  const takeId = await addTake(address, writeCsv(take, DIALECTS.plain), words);
  await labelPresses(address, takeId, take);
}

/** A press that was read is the simulated one that is nearest in time. */
async function labelPresses(address: string, takeId: string, { truth }: SimulatedTake): Promise<void> {
  const document = (await (await fetch(`${address}/api/takes/${takeId}`)).json()) as TakeDocument;
  const presses = document.presses.map(({ button, downUs }): PressLabel => {
    const [nearest] = [...truth.presses].sort(
      (a, b) => Math.abs(a.downUs - downUs) - Math.abs(b.downUs - downUs),
    );
    return { button, downUs, intent: nearest!.intent, by: 'person' };
  });
  const change = { revision: document.revision, labels: { ...document.labels, presses } };
  const answer = await send(address, 'PATCH', `/api/takes/${takeId}`, change);
  if (!answer.ok) throw new Error(await answer.text());
}
