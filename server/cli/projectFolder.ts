import { fileURLToPath } from 'node:url';

/** The project's folder: from here, and from the built program in .build/server, it is two up. */
export const PROJECT = fileURLToPath(new URL('../..', import.meta.url));
