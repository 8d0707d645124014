import type { Span } from '../../server/engine/base/log.ts';
import type { TimeWindow } from '../state/model.ts';

/** Spinning spans as a light ground behind a curve. */
export function Shades(props: { spans: readonly Span[]; window: TimeWindow; isProposed: boolean }) {
  const { startUs, endUs } = props.window;
  return (
    <div class="shades">
      {props.spans.map((span) => {
        const from = Math.max(0, (span.startUs - startUs) / (endUs - startUs));
        const to = Math.min(1, (span.endUs - startUs) / (endUs - startUs));
        if (to <= from) return null;
        return (
          <div
            key={span.startUs}
            class={`shade ${props.isProposed ? 'is-proposed' : ''}`}
            style={{ left: `${from * 100}%`, width: `${(to - from) * 100}%` }}
          />
        );
      })}
    </div>
  );
}
