import { Found, type FoundStore } from './found.ts';
import { browserStore } from './foundStore.ts';
import { PROGRAM_CODE } from './programCode.ts';

const NOTHING: FoundStore = { get: async () => [], put: async () => {} };

/** What this program has found, on this computer; the page and each of its threads look things up for themselves. */
export const found = PROGRAM_CODE === null ? new Found(NOTHING, '') : new Found(browserStore(), PROGRAM_CODE);
