import type { Unfit } from '../../../server/engine/choose/unfit.ts';
import { workspace } from '../../state/workspace.ts';

/** A sentence, with a space before it, where demo takes and others count together; else ''. */
export function demoCaution(
  evidence: readonly { readonly id: string; readonly unfit: Unfit | null }[],
): string {
  const fit = evidence.filter((take) => take.unfit === null);
  const demo = new Set(workspace.value?.takes.filter(({ isDemo }) => isDemo).map(({ id }) => id));
  const isMixed = fit.some(({ id }) => demo.has(id)) && fit.some(({ id }) => !demo.has(id));
  return isMixed
    ? ' The demo takes say nothing of your prop: leave them out under “Choose” before you claim anything of it.'
    : '';
}
