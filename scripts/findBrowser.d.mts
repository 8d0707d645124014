/** Path of an installed Chromium or Chrome, or null. */
export function findBrowser(env?: NodeJS.ProcessEnv, platform?: NodeJS.Platform): string | null;
