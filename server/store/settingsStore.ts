import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { keptDocument } from '../engine/kept/keptFile.ts';
import type { KeptSetting } from '../engine/kept/keptSetting.ts';
import { validateCandidate } from '../engine/settings/candidateRules.ts';
import { StoreConflictError, StoreCorruptError } from '../errors.ts';
import { documentText, makeFolder, moveTo, removeTemps } from './atomicFile.ts';
import type { StoredSetting } from './documents.ts';
import { messageOf, SettingNotFoundError, systemCode } from './errors.ts';
import { ID, newSettingId } from './ids.ts';
import { SeenFile } from './seenFile.ts';
import type { SerialWork } from './serialWork.ts';
import { readSettingFile } from './settingFile.ts';

const FILE = /^([a-z0-9][a-z0-9-]{0,63})\.json$/;
/** Where settings go that are removed, until the user empties it. */
const REMOVED = '.removed';

/** What a setting is kept as; who keeps it does not say when. */
export type SettingToKeep = Omit<KeptSetting, 'keptAt'>;

/** The kept settings of a workspace, a file each. One that cannot be read is left alone and told of in `problems`. */
export class SettingsStore {
  readonly problems: string[] = [];
  private readonly folder: string;
  private readonly work: SerialWork;
  private readonly now: () => number;
  private readonly settings = new Map<string, StoredSetting>();
  private readonly files = new Map<string, SeenFile>();

  private constructor(folder: string, work: SerialWork, now: () => number) {
    this.folder = folder;
    this.work = work;
    this.now = now;
  }

  static async open(folder: string, work: SerialWork, now: () => number): Promise<SettingsStore> {
    const store = new SettingsStore(folder, work, now);
    await removeTemps(folder);
    for (const name of (await readdir(folder)).sort()) await store.load(name);
    return store;
  }

  /** By name. */
  list(): StoredSetting[] {
    return [...this.settings.values()].sort((a, b) => a.name.localeCompare(b.name) || (a.id < b.id ? -1 : 1));
  }

  /** @throws SettingNotFoundError */
  get(id: string): StoredSetting {
    const setting = this.settings.get(id);
    if (!setting) throw new SettingNotFoundError('There is no such setting (any more).');
    return setting;
  }

  /** @throws CandidateError | SettingFileError */
  async add(setting: SettingToKeep & Partial<Pick<KeptSetting, 'keptAt'>>): Promise<StoredSetting> {
    const id = newSettingId(setting.name);
    const keptAt = setting.keptAt ?? new Date(this.now()).toISOString();
    return this.work.run(id, () => this.write({ ...setting, id, revision: 0, keptAt }));
  }

  /**
   * Puts another in its place. It was kept anew where its candidate is another.
   * @throws SettingNotFoundError | StoreConflictError | CandidateError | SettingFileError
   */
  async put(id: string, revision: number, setting: SettingToKeep): Promise<StoredSetting> {
    return this.work.run(id, async () => {
      await this.takeOver(id);
      const before = this.get(id);
      if (before.revision !== revision)
        throw new StoreConflictError(
          `The setting has changed since it was read (revision ${before.revision}, not ${revision}). Read it again.`,
        );
      const isSame = JSON.stringify(before.candidate) === JSON.stringify(setting.candidate);
      const keptAt = isSame ? before.keptAt : new Date(this.now()).toISOString();
      return this.write({ ...setting, id, revision: revision + 1, keptAt });
    });
  }

  /** Lays the file aside, from where `restore` brings it back. */
  async remove(id: string): Promise<void> {
    return this.work.run(id, async () => {
      this.get(id);
      const aside = join(this.folder, REMOVED);
      await makeFolder(aside);
      await moveTo(this.pathOf(id), join(aside, `${id}.json`));
      this.settings.delete(id);
    });
  }

  /** @throws SettingNotFoundError  where none was removed under this id */
  async restore(id: string): Promise<StoredSetting> {
    if (!ID.test(id)) throw new SettingNotFoundError('No setting has this id.');
    return this.work.run(id, async () => {
      if (this.settings.has(id)) return this.get(id);
      try {
        await moveTo(join(this.folder, REMOVED, `${id}.json`), this.pathOf(id));
      } catch (error) {
        if (systemCode(error) !== 'ENOENT') throw error;
        throw new SettingNotFoundError('No removed setting has this id.');
      }
      await this.load(`${id}.json`);
      return this.get(id);
    });
  }

  private async write(setting: StoredSetting): Promise<StoredSetting> {
    const { id, revision, ...kept } = setting;
    const document = keptDocument({ ...kept, candidate: validateCandidate(kept.candidate) });
    const checked = { id, revision, ...readSettingFile(document) };
    await this.fileOf(id).write(documentText({ revision, ...document }));
    this.settings.set(id, checked);
    return checked;
  }

  private async load(name: string): Promise<void> {
    const id = FILE.exec(name)?.[1];
    if (id === undefined) return;
    try {
      this.settings.set(id, await this.read(id));
    } catch (error) {
      this.problems.push(`The setting in settings/${name} cannot be read: ${messageOf(error)}.`);
    }
  }

  private async read(id: string): Promise<StoredSetting> {
    const { revision, ...document } = JSON.parse((await this.fileOf(id).read()) ?? 'null') ?? {};
    if (!Number.isInteger(revision)) throw new TypeError('it has no revision');
    return { id, revision, ...readSettingFile(document) };
  }

  /** What another program has written meanwhile is a change like any other: whoever goes on from the old one is told. */
  private async takeOver(id: string): Promise<void> {
    const known = this.settings.get(id);
    if (!known || !(await this.fileOf(id).isChanged())) return;
    const changed = await this.read(id).catch((error: unknown) => {
      this.files.delete(id);
      throw new StoreCorruptError(
        `Another program has changed ${this.pathOf(id)}, and it cannot be read: ${messageOf(error)}. Mend it, or move it away; nothing was written over it.`,
      );
    });
    this.settings.set(id, { ...changed, revision: Math.max(known.revision + 1, changed.revision) });
  }

  private fileOf(id: string): SeenFile {
    const known = this.files.get(id) ?? new SeenFile(this.pathOf(id));
    this.files.set(id, known);
    return known;
  }

  private pathOf(id: string): string {
    return join(this.folder, `${id}.json`);
  }
}
