/** Installs the packages where they are not the ones that package-lock.json asks for. */
export function ensureInstalled(): void;

/** Whether the packages in node_modules are the ones that package-lock.json asks for. */
export function isInstalled(project?: string): boolean;
