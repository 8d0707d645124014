import { assumedMountText } from '../../server/engine/words/mount.ts';
import type { TakeSummary } from '../../server/http/schemas.ts';
import { isMountAssumed, whyLeftOut } from '../state/fitness.ts';

/** In how many of the takes that count the mount is assumed, what rests on that, and what to do; nothing where it is in none. */
export function MountLine({ takes }: { readonly takes: readonly TakeSummary[] }) {
  const counting = takes.filter((take) => whyLeftOut(take) === null);
  const text = assumedMountText(counting.filter(isMountAssumed).length, counting.length);
  return text === '' ? null : (
    <p class="caution-line" data-mount="assumed">
      {text}
    </p>
  );
}
