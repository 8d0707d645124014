/** Stands where the build puts a hash of all sources in. */
declare const SOURCES_STAMP: string | undefined;

/** Names the code that answers; null where nobody knows, and nothing is remembered. */
export const PROGRAM_CODE = typeof SOURCES_STAMP === 'string' ? SOURCES_STAMP : null;
