/** The program's version, as in package.json. */
export const PROGRAM_VERSION = '0.1.0';

/** Counts up when the same sources and mapping would be read into other columns, or those be written otherwise. */
export const READING_VERSION = 2;
