/** Which labels contradict one another; nothing where none do. A take without a title is the only one. */
export function LabelDoubts({
  takes,
}: {
  readonly takes: readonly { readonly title: string; readonly doubts: readonly string[] }[];
}) {
  const lines = takes.flatMap(({ title, doubts }) =>
    doubts.map((text) => (title === '' ? text : `${title}: ${text}`)),
  );
  if (lines.length === 0) return null;
  return (
    <p class="caution-line" data-doubts={lines.length}>
      Labels contradict one another: {lines.join('; ')}.
    </p>
  );
}
