/** How the lines of an odd layout become rows of a table. One line stays one line, so that line numbers hold. */
export interface LineRewrite {
  /** Names of the columns, where the rewriting knows them: the file then has no header line of its own. */
  readonly header: string | null;
  /** Lines come in the file's order, each once: a row may take several of them, and stands in place of the last. */
  line(text: string): string;
}

/** What a rewritten line becomes that holds no row of its own: it is no blank line, and ends no capture. */
export const REWRITTEN_AWAY = ' ';
