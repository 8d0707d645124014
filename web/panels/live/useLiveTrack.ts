import { signal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import type { LiveNewsBody } from '../../../server/http/schemas.ts';
import { liveAddress } from '../../api.ts';
import { LiveTrack } from '../../live/liveTrack.ts';
import { RecordedRows } from '../../live/recordedRows.ts';
import { countRecording } from '../../state/liveStock.ts';
import { bothCandidates } from '../../state/store.ts';

/** What of a recording changes with every row: painted when there is something new, and not otherwise. */
export interface LiveSight {
  track: LiveTrack | null;
  /** Counts up with every piece of news. */
  readonly news: { value: number; peek(): number };
  /** Why no rows are shown. */
  readonly problems: { value: readonly string[] };
  readonly sizeBytes: { value: number };
}

/** Looks on at a recording for as long as the component is there; both candidates decide. */
export function useLiveTrack(recordingId: string): LiveSight {
  const candidates = bothCandidates.value;
  const sight = useMemo<LiveSight>(
    () => ({
      track: null,
      news: signal(0),
      problems: signal<readonly string[]>([]),
      sizeBytes: signal(0),
    }),
    [recordingId, candidates],
  );
  useEffect(() => {
    let rows = new RecordedRows();
    let stopCounting = (): void => {};
    const begin = (reading: NonNullable<LiveNewsBody['reading']>): void => {
      stopCounting();
      sight.track = new LiveTrack(reading, candidates);
      rows = new RecordedRows();
      stopCounting = countRecording(rows, reading);
    };
    const source = new EventSource(liveAddress(recordingId));
    source.onmessage = ({ data }) => {
      const { reading, batches, problems, sizeBytes }: LiveNewsBody = JSON.parse(data);
      if (reading) begin(reading);
      for (const batch of batches) {
        sight.track?.add(batch);
        rows.add(batch);
      }
      sight.problems.value = problems;
      sight.sizeBytes.value = sizeBytes;
      sight.news.value = sight.news.peek() + 1;
    };
    return () => {
      source.close();
      stopCounting();
    };
  }, [sight]);
  return sight;
}
