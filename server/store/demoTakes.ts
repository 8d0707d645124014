import { createReadStream } from 'node:fs';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Press, Span } from '../engine/log.ts';
import type { Mount } from '../engine/mount.ts';
import type { Intent, Labels, PressLabel } from '../engine/truth/labels.ts';
import type { Hooks } from '../ingest/types.ts';
import type { DemoPart } from './addTake.ts';
import type { TakeDocument } from './documents.ts';
import type { Workspace } from './workspace.ts';

/** What a simulated take knows of itself, in the JSON file beside its log. */
interface DemoTruth {
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  readonly notes?: string;
  readonly leverArmM: number;
  readonly mount: Mount;
  readonly presses: readonly (Press & { readonly intent: Intent })[];
  readonly spans: readonly (Span & { readonly kind: string })[];
  readonly swings: readonly (Span & { readonly peakUs: number })[];
}

/** A read press is the simulated one if it goes down within one sample or so of it. */
const SAME_PRESS_US = 25_000;

/**
 * Adds the demonstration takes of a folder through the same doors as a user's own logs: upload, guessed mapping,
 * reading. Each is added once in the life of a workspace, so a deleted one does not come back.
 */
export async function addDemoTakes(
  workspace: Workspace,
  folder: string,
  hooks: Hooks,
): Promise<TakeDocument[]> {
  const names = (await demoNames(folder)).filter((name) => !isKnown(workspace, name));
  const added: TakeDocument[] = [];
  for (const [i, name] of names.entries()) {
    const onProgress = (part: number): void => hooks.onProgress?.((i + part) / names.length);
    added.push(await addDemoTake(workspace, folder, name, { ...hooks, onProgress }));
    await workspace.noteDemoAdded(name);
  }
  return added;
}

/** Also one that a crash kept from being noted. */
function isKnown({ takes, demoAdded }: Workspace, name: string): boolean {
  if (demoAdded.includes(name)) return true;
  return takes.list().some(({ id, isDemo }) => isDemo && takes.get(id).sources[0]?.name === `${name}.csv`);
}

async function demoNames(folder: string): Promise<string[]> {
  const files = await readdir(folder);
  const logs = files.filter((name) => name.endsWith('.csv')).map((name) => name.slice(0, -'.csv'.length));
  return logs.filter((name) => files.includes(`${name}.json`)).sort();
}

async function addDemoTake(
  workspace: Workspace,
  folder: string,
  name: string,
  hooks: Hooks,
): Promise<TakeDocument> {
  const truth: DemoTruth = JSON.parse(await readFile(join(folder, `${name}.json`), 'utf8'));
  const log = createReadStream(join(folder, `${name}.csv`));
  const { uploadId } = await workspace.uploads.receive(`${name}.csv`, log);
  const { mapping } = await workspace.preview([uploadId], {}, hooks);
  const { title, performer, drill } = truth;
  return workspace.addTake(
    { uploadIds: [uploadId], mapping, title, performer, drill, demo: demoPart(truth) },
    hooks,
  );
}

function demoPart(truth: DemoTruth): DemoPart {
  return {
    calibration: { mount: truth.mount, leverArmM: truth.leverArmM },
    notes: truth.notes ?? '',
    labels: ({ presses }) => labelsOf(truth, presses),
  };
}

function labelsOf(truth: DemoTruth, presses: readonly Press[]): Labels {
  const by = 'simulation';
  return {
    presses: truth.presses.flatMap((press): PressLabel[] => {
      const read = nearest(presses, press);
      return read ? [{ downUs: read.downUs, button: read.button, intent: press.intent, by }] : [];
    }),
    spans: truth.spans.map(({ startUs, endUs, kind }) => ({ startUs, endUs, kind, by })),
    swings: truth.swings.map(({ startUs, endUs, peakUs }) => ({ startUs, endUs, peakUs, by })),
  };
}

function nearest(presses: readonly Press[], wanted: Press): Press | null {
  let best: Press | null = null;
  for (const press of presses) {
    if (press.button !== wanted.button || distanceUs(press, wanted) > SAME_PRESS_US) continue;
    if (best === null || distanceUs(press, wanted) < distanceUs(best, wanted)) best = press;
  }
  return best;
}

function distanceUs(a: Press, b: Press): number {
  return Math.abs(a.downUs - b.downUs);
}
