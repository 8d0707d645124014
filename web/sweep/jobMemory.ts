import { isSameContent, type TakeContent } from '../../server/engine/kept/takeContent.ts';
import { sha256 } from '../takes/content.ts';
import type { Found, Named } from '../takes/found.ts';
import { keepPacked, knownPacked } from '../takes/packed.ts';
import type { Job, JobTake, JobValue } from './jobs.ts';
import type { AnsweredPiece, FoundPiece, Piece } from './piece.ts';
import { restsOn } from './pieces.ts';

/** Over fewer takes a job is put together from its pieces in no time. */
const WHOLE_FROM = 20;

/**
 * What was found before of a job: all of it, or the pieces of its takes. Both are looked up by the takes' contents as the list
 * tells of them, so that no document is read for it.
 */
export class JobMemory {
  private readonly found: Found;
  private readonly job: Job;
  private readonly contents = new Map<JobTake, Promise<TakeContent | null>>();
  /** Every piece so far was of the content that the list tells of. */
  private isAsListed = true;

  constructor(found: Found, job: Job) {
    this.found = found;
    this.job = job;
  }

  /** The answer to the whole job; null where it is not known. */
  async whole(): Promise<JobValue | null> {
    const named = await this.namedWhole();
    return named && ((await knownPacked<JobValue>(this.found, named))?.value ?? null);
  }

  /** @param value  what all of the job has come to. */
  async keepWhole(value: JobValue): Promise<void> {
    const named = await this.namedWhole();
    if (named && this.isAsListed && value.failed.length === 0) await keepPacked(this.found, named, value);
  }

  /** null where it is not known. */
  async piece(take: JobTake, piece: Piece): Promise<AnsweredPiece | null> {
    const content = await this.contentOf(take);
    if (content === null) return null;
    const known = await knownPacked<FoundPiece>(this.found, namedPiece(content, piece, take));
    return known && { found: known.value, content };
  }

  /** To be told of each piece that the job takes in: the document may have changed since the list was made. */
  async tookIn(take: JobTake, { content }: AnsweredPiece): Promise<void> {
    if (!isSameContent(await this.contentOf(take), content)) this.isAsListed = false;
  }

  private async namedWhole(): Promise<Named | null> {
    const { takes, ...settings } = this.job;
    if (takes.length < WHOLE_FROM) return null;
    const contents = await Promise.all(takes.map((take) => this.contentOf(take)));
    if (contents.includes(null)) return null;
    const named = takes.map(({ id, title, performer, unfit }, i) => [
      id,
      title,
      performer,
      unfit,
      contents[i],
    ]);
    return { basis: { signals: await sha256(JSON.stringify(named)) }, asked: ['whole job', settings] };
  }

  private contentOf(take: JobTake): Promise<TakeContent | null> {
    const content = this.contents.get(take) ?? contentOf(take);
    this.contents.set(take, content);
    return content;
  }
}

async function contentOf({ content, labels }: JobTake): Promise<TakeContent | null> {
  if (content === null || labels === null) return content;
  return { signals: content.signals, labels: await sha256(JSON.stringify(labels)) };
}

export function namedPiece(
  content: TakeContent,
  piece: Piece,
  take: Pick<JobTake, 'id' | 'title' | 'performer' | 'unfit'>,
): Named {
  return { basis: content, asked: restsOn(piece, take) };
}
