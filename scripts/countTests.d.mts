export interface FileResult {
  readonly name: string;
  readonly status: string;
  readonly assertionResults: readonly { readonly status: string }[];
}

export interface Counts {
  readonly passed: number;
  readonly failed: number;
  readonly skipped: number;
  readonly skippedInBrowser: number;
  readonly ranInBrowser: number;
}

/** What the test runner's JSON results (`testResults`) say, in numbers. */
export function countTests(files: readonly FileResult[], project: string): Counts;
