export const STAMP_PATH: string;

/** Whether what is built comes from the sources as they are now. */
export function isBuilt(): boolean;

/** A hash of the names and contents of everything that goes into the build. */
export function sourcesStamp(project?: string): string;
