import type { KnownFile } from '../../../server/http/schemas.ts';

/** Says which of the files are takes already: a second copy is allowed, and counts. */
export function KnownFiles({ known, of }: { readonly known: readonly KnownFile[]; readonly of: number }) {
  if (known.length === 0) return null;
  return (
    <section class="caution-box" aria-label="Here already">
      {known.map(({ name, takeId, title }, i) => (
        <p key={`${i} ${takeId}`}>
          <b>
            {of === 1 ? 'This file' : name} is in the workspace already, as the take “{title}”.
          </b>{' '}
          {i === known.length - 1 &&
            'A copy counts once more in Sweep and Compare. Add it if that is what you want.'}
        </p>
      ))}
    </section>
  );
}
