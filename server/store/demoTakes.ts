import { createReadStream } from 'node:fs';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Press, Span } from '../engine/base/log.ts';
import type { Mount } from '../engine/base/mount.ts';
import { type SimulatedGestures, simulatedGestures } from '../engine/labels/gesturesSimulated.ts';
import type { Intent, Labels, PressLabel } from '../engine/labels/labels.ts';
import type { Hooks } from '../ingest/ground/types.ts';
import type { DemoPart } from './addTake.ts';
import type { TakeDocument } from './documents.ts';
import { MappingError, systemCode } from './errors.ts';
import type { Workspace } from './workspace.ts';

/** What a simulated take knows of itself, in the JSON file beside its log. */
interface DemoTruth {
  readonly note: string;
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  /** `leverArmM` in the prop frame, so that its first part lies along the blade. */
  readonly sensor: { readonly mount: Mount; readonly leverArmM: readonly [number, number, number] };
  readonly bladeLengthM: number;
  readonly presses: readonly (Press & { readonly intent: Intent })[];
  readonly spans: readonly (Span & { readonly kind: string })[];
  readonly swings: readonly (Span & { readonly peakUs: number })[];
}

type WholeTruth = DemoTruth & SimulatedGestures;

const LOG = '.csv';
const TRUTH = '.truth.json';

/** A read press is the simulated one if it goes down within one sample or so of it. */
const SAME_PRESS_US = 25_000;

/**
 * Adds the demonstration takes of a folder through the same doors as a user's own logs: upload, guessed mapping,
 * reading. Each is added once in the life of a workspace, so a deleted one does not come back.
 * @param again  where somebody asks for them: all that are not there come in, deleted ones too
 */
export async function addDemoTakes(
  workspace: Workspace,
  folder: string,
  hooks: Hooks,
  again = false,
): Promise<TakeDocument[]> {
  const isWanted = (name: string) => !(again ? isThere(workspace, name) : isKnown(workspace, name));
  const names = (await demoNames(folder)).filter(isWanted);
  const added: TakeDocument[] = [];
  for (const [i, name] of names.entries()) {
    const onProgress = (part: number): void => hooks.onProgress?.((i + part) / names.length);
    added.push(await addDemoTake(workspace, folder, name, { ...hooks, onProgress }));
    if (!workspace.demoAdded.includes(name)) await workspace.noteDemoAdded(name);
  }
  return added;
}

/** Also one that a crash kept from being noted. */
function isKnown(workspace: Workspace, name: string): boolean {
  return workspace.demoAdded.includes(name) || isThere(workspace, name);
}

function isThere({ takes }: Workspace, name: string): boolean {
  return takes.list().some(({ id, isDemo }) => isDemo && takes.get(id).sources[0]?.name === `${name}${LOG}`);
}

async function demoNames(folder: string): Promise<string[]> {
  const files: string[] = await readdir(folder).catch((error: unknown) => {
    if (systemCode(error) === 'ENOENT') return [];
    throw error;
  });
  const logs = files.filter((name) => name.endsWith(LOG)).map((name) => name.slice(0, -LOG.length));
  // From behind: the spinner's wall-plane reversals, which show what the guard is about, come first.
  return logs
    .filter((name) => files.includes(`${name}${TRUTH}`))
    .sort()
    .reverse();
}

async function addDemoTake(
  workspace: Workspace,
  folder: string,
  name: string,
  hooks: Hooks,
): Promise<TakeDocument> {
  const truth: WholeTruth = JSON.parse(await readFile(join(folder, `${name}${TRUTH}`), 'utf8'));
  const log = createReadStream(join(folder, `${name}${LOG}`));
  const { uploadId } = await workspace.uploads.receive(`${name}${LOG}`, log);
  const { mapping, needs } = await workspace.preview([uploadId], {}, hooks);
  if (needs.length > 0) throw new MappingError(`${name}${LOG}: ${needs.join('; ')}`);
  const { title, performer, drill } = truth;
  return workspace.addTake(
    { uploadIds: [uploadId], mapping, title, performer, drill, demo: demoPart(truth) },
    hooks,
  );
}

function demoPart(truth: WholeTruth): DemoPart {
  const { sensor, bladeLengthM, note } = truth;
  return {
    calibration: { mount: sensor.mount, leverArmM: sensor.leverArmM[0], bladeLengthM },
    notes: note,
    labels: ({ presses }) => labelsOf(truth, presses),
  };
}

function labelsOf(truth: WholeTruth, presses: readonly Press[]): Labels {
  const by = 'simulation';
  return {
    presses: truth.presses.flatMap((press): PressLabel[] => {
      const read = nearest(presses, press);
      return read ? [{ downUs: read.downUs, button: read.button, intent: press.intent, by }] : [];
    }),
    spans: truth.spans.map(({ startUs, endUs, kind }) => ({ startUs, endUs, kind, by })),
    swings: truth.swings.map(({ startUs, endUs, peakUs }) => ({ startUs, endUs, peakUs, by })),
    gestures: simulatedGestures(truth),
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
