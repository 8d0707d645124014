import { checkHits } from '../../../server/engine/check/rate.ts';
import { wordedLine } from '../../../server/engine/words/check/check.ts';
import type { OpenTake } from '../../state/openTake.ts';

/** What has to be known of the thrust, whether its stave is folded or not. */
export function ThrustCaution({ take }: { readonly take: OpenTake }) {
  if (take.document.calibration.leverArmM > 0) return null;
  return <span class="caution">lever arm not set: a fast swing reads as thrust</span>;
}

/** The same of impacts. */
export function ImpactCaution({ rateHz }: { readonly rateHz: number }) {
  const hits = wordedLine(checkHits(rateHz));
  if (hits.state === 'pass') return null;
  return (
    <span class="caution" title={`${hits.finding} ${hits.advice}`}>
      {Math.round(rateHz)} Hz: a hit can fall between two samples
    </span>
  );
}
