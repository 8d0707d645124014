import type { Mount } from '../../../server/engine/base/mount.ts';
import type { Preview } from '../../../server/http/schemas.ts';
import { MountFields } from '../MountFields.tsx';

/** No column says how the sensor sits in the grip, and swing speed rests on it: asked until somebody has said so. */
export function WhichWay(props: { readonly mapping: Preview['mapping']; onState(mount: Mount): void }) {
  const { mount, mountReason, isMountAssumed = false } = props.mapping;
  return (
    <section class={isMountAssumed ? 'caution-box' : ''} aria-label="Mount">
      {isMountAssumed && (
        <p>
          <b>Which way does the blade point?</b> No column says which axis of the sensor points to the tip.
          Swing speed, and with it the guard and the deflections, rests on that: +x is taken until you say so,
          here or later in Signal check.
        </p>
      )}
      <p class="stated">
        <MountFields mount={mount} isAssumed={isMountAssumed} onChange={props.onState} />
        {!isMountAssumed && <small>{mountReason}</small>}
      </p>
    </section>
  );
}
