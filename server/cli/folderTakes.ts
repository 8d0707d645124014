import { existsSync, readdirSync, statSync } from 'node:fs';
import { join, relative } from 'node:path';
import { buttonsOf, deflectionPressesOf, powerPressesOf } from '../engine/base/buttons.ts';
import type { Press } from '../engine/base/log.ts';
import { type Calibration, DEFAULT_CALIBRATION } from '../engine/calibrate/calibration.ts';
import type { CheckInput } from '../engine/check/input.ts';
import type { TakeFacts } from '../engine/kept/evidenceTake.ts';
import type { Labels } from '../engine/labels/labels.ts';
import type { ReadTake } from '../ingest/ground/types.ts';
import { previewLog } from '../ingest/preview/preview.ts';
import { likelyPowerButton } from '../ingest/roles/tracks.ts';
import { readTake } from '../ingest/take/readTake.ts';
import { logSource, sha256OfFile } from '../store/sourceFiles.ts';
import {
  checkUnchanged,
  DOCUMENT_NAME,
  readDocument,
  SOURCE_FOLDER,
  sourcesOf,
} from '../store/takeFolder.ts';
import { fileTrouble } from './fileTrouble.ts';
import { DataError, UsageError } from './io.ts';
import { mountInTruth, readLabels } from './labelsFile.ts';
import { openFile } from './openFile.ts';

export type StatedOfProp = Required<Pick<CheckInput, 'calibration' | 'mount'>>;

export const NOTHING_STATED: StatedOfProp = { calibration: null, mount: null };

/** A take of a folder, read when it is its turn. */
export interface FolderTake {
  /** As the table and the report call it. */
  readonly name: string;
  /** Its files, which no output may be written over. */
  files(): readonly string[];
  /** @throws WorkbenchError or DataError  where it cannot be read or judged */
  read(): Promise<FolderTakeRead>;
}

export interface FolderTakeRead {
  readonly take: ReadTake;
  readonly labels: Labels;
  readonly calibration: Calibration;
  /** What somebody stated of the prop, which the signal check goes by. */
  readonly stated: StatedOfProp;
  /** Presses of the power button, and of the one that deflections may wait for; null where there is none. */
  readonly presses: readonly Press[];
  readonly deflectionPresses: readonly Press[] | null;
  /** Somebody counts it in though its signals are not fit. */
  readonly useUnfit: boolean;
  /** '' where nobody said who it is. */
  readonly performer: string;
  /** What a kept setting's evidence tells of it. */
  readonly facts: TakeFacts;
}

const LOG = /\.(csv|tsv|txt|log)$/i;
const LABELS = ['.labels.json', '.labels.csv', '.truth.json'] as const;
const TAKES = 'takes';

/**
 * The takes of a folder: of a workspace, or every log that has a file of labels beside it, `NAME.labels.json`,
 * `NAME.labels.csv` or `NAME.truth.json`. A log without one is a take that cannot be judged.
 * @param stated  of logs in a plain folder; a workspace knows its own.
 * @throws UsageError  where the folder cannot be read or holds no take.
 */
export function folderTakes(folder: string, stated: StatedOfProp): FolderTake[] {
  const names = namesIn(folder);
  const takes = names.includes('workspace.json')
    ? namesIn(join(folder, TAKES))
        .filter((id) => !id.startsWith('.'))
        .map((id) => storedTake(join(folder, TAKES, id), id))
    : names
        .filter((name) => LOG.test(name) && !LABELS.some((end) => name.toLowerCase().endsWith(end)))
        .map((name) => loggedTake(folder, name, stated));
  if (takes.length === 0) throw new UsageError(`--takes: ${folder} holds no take`);
  return takes;
}

function storedTake(folder: string, id: string): FolderTake {
  return {
    name: id,
    files: () =>
      [DOCUMENT_NAME, ...namesIn(join(folder, SOURCE_FOLDER)).map((name) => join(SOURCE_FOLDER, name))].map(
        (name) => join(folder, name),
      ),
    async read() {
      const document = await readDocument(folder, id);
      const sources = sourcesOf(folder, document);
      await checkUnchanged(document, sources);
      const take = await readTake(sources.map(logSource), document.mapping, {});
      return {
        take,
        labels: document.labels,
        calibration: document.calibration,
        stated: { calibration: document.calibration, mount: document.calibration.mount },
        presses: powerPressesOf({ ...document, presses: take.presses }),
        deflectionPresses: deflectionPressesOf({ ...document, presses: take.presses }),
        useUnfit: document.useUnfit === true,
        performer: document.performer,
        facts: document,
      };
    },
  };
}

function loggedTake(folder: string, name: string, stated: StatedOfProp): FolderTake {
  const path = join(folder, name);
  const labelsPath = LABELS.map((end) => join(folder, name.replace(LOG, end))).find((one) => existsSync(one));
  return {
    name,
    files: () => (labelsPath === undefined ? [path] : [path, labelsPath]),
    async read() {
      if (labelsPath === undefined)
        throw new DataError(
          'LABELS',
          `it has no labels: ${LABELS.map((end) => name.replace(LOG, end)).join(', ')} would hold them`,
        );
      const source = openFile(path);
      const { mapping, needs } = await previewLog([source], {}, {});
      if (needs.length > 0) throw new DataError('NEEDS', needs.join(' '));
      const take = await readTake([source], mapping, {});
      const power = likelyPowerButton(buttonsOf({ presses: take.presses, mapping }));
      const durationUs = take.log.timeUs.at(-1) ?? 0;
      const { labels, leftOut } = readLabels(labelsPath, take.presses, durationUs);
      if (leftOut !== null) throw new DataError('LABELS', leftOut);
      const mount = stated.mount ?? mountInTruth(labelsPath);
      const calibration = {
        ...DEFAULT_CALIBRATION,
        ...stated.calibration,
        mount: mount ?? mapping.mount,
        ...(mount !== null && { isMountStated: true }),
      };
      const known = { calibration: stated.calibration && calibration, mount };
      const sources = [{ name, sha256: await sha256OfFile(path) }];
      const named = { id: name, title: name, performer: '', isDemo: false, sources };
      const facts = { ...named, presses: take.presses, labels, calibration, mapping, powerButton: power };
      const pressed = { presses: powerPressesOf(facts), deflectionPresses: deflectionPressesOf(facts) };
      return { take, labels, calibration, stated: known, ...pressed, useUnfit: false, performer: '', facts };
    },
  };
}

function namesIn(folder: string): string[] {
  try {
    if (!statSync(folder).isDirectory()) throw new UsageError(`--takes: ${folder} is no folder`);
    return readdirSync(folder).sort();
  } catch (error) {
    if (error instanceof UsageError) throw error;
    throw fileTrouble(relative('.', folder) || folder, error, 'read');
  }
}
