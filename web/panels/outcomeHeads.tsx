/** Heads of the two columns that count wrong presses, alike in every table. */
export function WrongPressHeads({ isFirst = false }: { readonly isFirst?: boolean }) {
  return (
    <>
      <th scope="col" class={isFirst ? 'is-first' : ''} title="Stray presses let through">
        strays
      </th>
      <th scope="col" title="Wanted presses refused">
        wanted
      </th>
    </>
  );
}

export function OpenReversalsHead() {
  return (
    <th scope="col" title="Reversals at which the guard opens">
      reversals
    </th>
  );
}
