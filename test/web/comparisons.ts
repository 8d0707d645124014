import { expect, vi } from 'vitest';
import { EMPTY_LABELS, type Labels } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE, withField } from '../../server/engine/settings/candidateRules.ts';
import type { TakeDocument, TakeSummary } from '../../server/http/schemas.ts';
import { fetchTake } from '../../web/api.ts';
import type { CompareReply } from '../../web/compare/compareTake.ts';
import { Comparison } from '../../web/compare/comparison.ts';
import type { ComparedWork, Wants } from '../../web/compare/entry.ts';
import { TakeDocuments } from '../../web/takes/documents.ts';
import type { ComparedParts, KnownParts } from '../../web/takes/found.ts';
import { type Request, Stopped } from '../../web/takes/requests.ts';

vi.mock('../../web/api.ts');

export const B = withField(DEFAULT_CANDIDATE, 'guard.holdMs', 200);
export const C = withField(DEFAULT_CANDIDATE, 'guard.holdMs', 300);
export const SMOOTHER = withField(DEFAULT_CANDIDATE, 'smoothing.cutoffHz', 12);
export const work = (a = DEFAULT_CANDIDATE, b = B, labels: ComparedWork['labels'] = {}): ComparedWork => ({
  candidates: { a, b },
  labels,
  settings: [],
});
export const stray: Labels = {
  ...EMPTY_LABELS,
  presses: [{ downUs: 5, button: 'power', intent: 'stray', by: 'person' }],
};

export const listed = (id: string) => ({ signals: `signals of ${id}`, labels: 'labels' });

/** As the list names them, none of them is what its document says: nothing is known by it. */
export function takes(...ids: string[]): TakeSummary[] {
  return ids.map(
    (id) => ({ id, title: id, performer: '', durationS: 1, revision: 0, content: listed(id) }) as TakeSummary,
  );
}

export const NOTHING: KnownParts = { facts: undefined, stock: undefined, swept: undefined, scores: [] };

/** A comparison with sources that note what they are asked for; a reply tells its request by identity. */
export function made(options: { failing?: string; known?: (wanted: ComparedParts) => KnownParts } = {}) {
  const asked: string[] = [];
  const fetched: string[] = [];
  let revision = 0;
  let leverArmM = 0;
  vi.mocked(fetchTake).mockImplementation(async (id) => {
    fetched.push(id);
    const calibration = { leverArmM };
    const presses = [
      { button: 'power', downUs: 5, upUs: null },
      { button: 'aux', downUs: 6, upUs: null },
    ];
    const rest = { labels: EMPTY_LABELS, presses, calibration, powerButton: 'power' };
    return { id, revision, sources: [], mapping: {}, ...rest } as unknown as TakeDocument;
  });
  const lookups: string[][] = [];
  const comparison = new Comparison({
    documents: new TakeDocuments(),
    known: async (wanted) => {
      if (wanted.length > 0) lookups.push(wanted.map(({ takeId }) => takeId));
      return wanted.map((one) => options.known?.(one) ?? NOTHING);
    },
    // As the desk asks: one after another, and no more once stopped.
    ask: (_takeId, prepare, stopped) => {
      queue = queue
        .catch(() => {})
        .then(async () => {
          if (stopped.aborted) throw new Stopped();
          const request = await prepare();
          return request && reply(request);
        });
      return queue;
    },
  });
  let queue: Promise<CompareReply | null> = Promise.resolve(null);
  const reply = (request: Request<'compare'>): CompareReply => {
    if (request.takeId === options.failing) throw new Error('its columns are gone');
    const { takeId, wantsFacts, wantsStock, candidates, sweepAs } = request;
    asked.push(
      [
        takeId,
        wantsFacts ? 'facts' : '',
        wantsStock ? 'stock' : '',
        `${candidates.length}`,
        sweepAs ? 'grid' : '',
      ]
        .filter(Boolean)
        .join(' '),
    );
    expect(request.powerPresses).toHaveLength(1);
    return {
      facts: wantsFacts ? ({ of: takeId } as never) : null,
      stock: wantsStock ? ({ of: takeId } as never) : null,
      scores: candidates.map((candidate) => ({ holdMs: candidate.guard.holdMs }) as never),
      swept: sweepAs && ({ of: takeId } as never),
    };
  };
  const run = async (summaries: TakeSummary[], at = work(), wants: Wants = 'grids', stopAfter = Infinity) => {
    asked.splice(0);
    const progress: string[] = [];
    const stopped = new AbortController();
    await comparison.run(
      summaries,
      at,
      wants,
      ({ done, total }) => {
        progress.push(`${done}/${total}`);
        if (done >= stopAfter) stopped.abort();
      },
      stopped.signal,
    );
    return { asked: [...asked], progress };
  };
  return {
    comparison,
    run,
    fetched,
    lookups,
    change: (to: { revision: number; leverArmM: number }) => ({ revision, leverArmM } = to),
  };
}

/** What the server has of a take, once a comparison is made. */
export const documentOf = (id: string): Promise<TakeDocument> => fetchTake(id);
