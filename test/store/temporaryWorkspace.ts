import { join } from 'node:path';
import { Readable } from 'node:stream';
import { onTestFinished } from 'vitest';
import type { TakeDocument } from '../../server/store/documents.ts';
import { inlineIngest } from '../../server/store/ingestTasks.ts';
import { Workspace, type WorkspaceOptions } from '../../server/store/workspace.ts';
import { smallLog } from './smallLog.ts';
import { temporaryFolder } from './temporaryFolder.ts';

/** A workspace in a folder that goes away with the test, reading logs in line. */
export function temporaryWorkspace(options: Partial<WorkspaceOptions> = {}): Promise<Workspace> {
  return openWorkspace(join(temporaryFolder(), 'workspace'), options);
}

export async function openWorkspace(
  path: string,
  options: Partial<WorkspaceOptions> = {},
): Promise<Workspace> {
  const workspace = await Workspace.open(path, { ingest: inlineIngest(), ...options });
  onTestFinished(() => workspace.close());
  return workspace;
}

export async function uploadText(workspace: Workspace, text: string, name = 'log.csv'): Promise<string> {
  return (await workspace.uploads.receive(name, Readable.from([Buffer.from(text)]))).uploadId;
}

/** A take from a log, with the mapping that was guessed. */
export async function addSmallTake(
  workspace: Workspace,
  text: string = smallLog(),
  title = 'Slow carry',
): Promise<TakeDocument> {
  const uploadId = await uploadText(workspace, text);
  const { mapping } = await workspace.preview([uploadId], {}, {});
  return workspace.addTake(
    { uploadIds: [uploadId], mapping, title, performer: 'Beginner', drill: 'carry' },
    {},
  );
}
