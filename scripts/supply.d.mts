export const LICENCES: readonly string[];
export const ANSWERED: Readonly<Record<string, string>>;
export function lookAt(
  manifest: object,
  lock: object,
): {
  readonly packages: readonly {
    readonly name: string;
    readonly version: string;
    readonly licence: string;
    readonly isShipped: boolean;
  }[];
  readonly faults: readonly string[];
};
export function readAudit(text: string): string[] | null;
