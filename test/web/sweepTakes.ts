import type { MotionLog } from '../../server/engine/base/log.ts';
import type { Scratch } from '../../server/engine/base/scratch.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import type { JobTake, JobValue, TakeInput } from '../../web/sweep/jobs.ts';
import { foundPiece, workOn } from '../../web/sweep/pieces.ts';
import type { Surroundings } from '../../web/sweep/runner.ts';
import { TakeReader } from '../../web/takes/reader.ts';
import { seededNormal } from '../seeded.ts';

const RATE_HZ = 100;

/** Rest, then three spins of eight swings with a stop after each. */
function log(seed: number): MotionLog {
  const noise = seededNormal(seed);
  const length = 26 * RATE_HZ;
  const column = (of: (s: number) => number) =>
    Float64Array.from({ length }, (_, i) => of(i / RATE_HZ) + 0.3 * noise());
  const isSpin = (s: number) => s >= 2 && (s - 2) % 8 < 4;
  return {
    timeUs: Float64Array.from({ length }, (_, i) => i * 10_000),
    gyroXDps: column(() => 0),
    gyroYDps: column(() => 0),
    gyroZDps: column((s) => (isSpin(s) ? (500 + 20 * seed) * Math.sin(2 * Math.PI * (s - 2)) : 0)),
    accelXG: column(() => 0).map((value) => value / 100),
    accelYG: column(() => 0).map((value) => value / 100),
    accelZG: column(() => 0).map((value) => 1 + value / 100),
  };
}

/** A take as the page names it, with its document at hand. */
export type Given = TakeInput & JobTake;

/** Two strays at reversals and one in mid-swing in every spin, two wanted presses after every stop. */
export function input(id: string, performer: string): Given {
  const moments = [0, 8, 16].flatMap((startS) =>
    (
      [
        ['stray', 3.5],
        ['stray', 4.52],
        ['stray', 5.25],
        ['wanted', 6.6],
        ['wanted', 8.9],
      ] as const
    ).map(([intent, atS]) => ({ intent, downUs: Math.round((startS + atS) * 1e6) })),
  );
  const presses = moments.map(({ downUs }) => ({ button: 'power', downUs, upUs: downUs + 90_000 }));
  const labels = {
    presses: moments.map(({ downUs, intent }) => ({
      downUs,
      intent,
      button: 'power',
      by: 'person' as const,
    })),
    spans: [],
    swings: [],
  };
  const calibration = DEFAULT_CALIBRATION;
  return {
    id,
    title: id.toUpperCase(),
    performer,
    revision: 1,
    content: { signals: `signals of ${id}`, labels: `labels of ${id}` },
    columns: 'read so',
    calibration,
    presses,
    allPresses: presses,
    deflectionPresses: null,
    labels,
    unfit: null,
  };
}

/** As the page unpacks a take: into columns that the next one overwrites. */
function unpacked(columns: MotionLog, scratch: Scratch): MotionLog {
  const copy = Object.entries(columns).map(([name, values]) => {
    const column = scratch.column(name, values.length);
    column.set(values);
    return [name, column];
  });
  return Object.fromEntries(copy) as MotionLog;
}

interface Change extends Partial<Surroundings> {
  readonly reader?: TakeReader;
  /** Reads a take's document. */
  readonly input?: (take: JobTake) => Promise<TakeInput>;
}

/** Finds pieces here and one by one, unless told otherwise. */
export function surroundings(change: Change = {}, asked: string[] = []) {
  const told: JobValue[] = [];
  const {
    reader = new TakeReader(async (id) => {
      asked.push(id);
      if (id === 'broken') throw new Error('the columns are gone');
      const columns = id === 'still' ? { ...log(1), gyroZDps: log(1).gyroXDps } : log(Number(id.at(-1)));
      return {
        isOf: async () => true,
        unpack: (scratch) => ({
          log: unpacked(columns, scratch),
          saturated: new Uint8Array(columns.timeUs.length),
        }),
      };
    }),
    input = async (take) => take as Given,
    ...rest
  } = change;
  const around: Surroundings = {
    firstId: null,
    width: 1,
    find: async (take, piece, next) => {
      const given = await input(take);
      return {
        found: foundPiece(given, await workOn(piece, given)(reader, next?.id)),
        content: take.content!,
      };
    },
    tookIn: async () => {},
    report: (soFar) => told.push(soFar()),
    isCancelled: () => false,
    letMessagesIn: async () => {},
    ...rest,
  };
  return { around, told, reader };
}

export const takes = [input('t1', 'spinner'), input('t2', 'spinner'), input('t3', 'beginner')];
