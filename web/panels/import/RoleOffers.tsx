import type { Preview } from '../../../server/http/schemas.ts';
import { restate } from '../../state/importing.ts';
import type { Import } from '../../state/importState.ts';
import { type RoleOffer, roleOffers, withOffer } from '../../state/statements.ts';

const SENSORS = { accel: 'acceleration', gyro: 'the rates' } as const;

/** Where columns tell nothing by themselves: the fields to set, and three columns at once to set them with. */
export function RoleOffers({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  const offers = roleOffers(preview);
  if (offers.length === 0) return null;
  const { files } = preview.mapping;
  const said = ({ kind, columns }: RoleOffer): string => {
    const names = columns.map(({ name }) => name);
    const place = files.length > 1 ? ` of ${files[columns[0]!.file]!.name}` : '';
    return `${names.slice(0, -1).join(', ')} and ${names.at(-1)}${place} are ${SENSORS[kind]} x, y, z`;
  };
  return (
    <>
      <p>Set what each column is in the table below, in the fields under “is”; or, if it is so:</p>
      <p class="problem-actions">
        {offers.map((offer) => (
          <button
            key={said(offer)}
            type="button"
            onClick={() => void restate(withOffer(now.overrides, offer))}
          >
            {said(offer)}
          </button>
        ))}
      </p>
    </>
  );
}
