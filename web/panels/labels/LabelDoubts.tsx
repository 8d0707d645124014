import { doubtTexts, labelDoubts } from '../../../server/engine/truth/labelDoubts.ts';
import type { Labels } from '../../../server/engine/truth/labels.ts';

/** Which labels contradict one another; nothing where none do. Takes are named where there are several. */
export function LabelDoubts({
  takes,
}: {
  readonly takes: readonly { readonly title: string; readonly labels: Labels }[];
}) {
  const lines = takes.flatMap(({ title, labels }) =>
    doubtTexts(labelDoubts(labels)).map((text) => (takes.length > 1 ? `${title}: ${text}` : text)),
  );
  if (lines.length === 0) return null;
  return (
    <p class="caution-line" data-doubts={lines.length}>
      Labels contradict one another: {lines.join('; ')}.
    </p>
  );
}
