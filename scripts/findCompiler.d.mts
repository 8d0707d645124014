export function findCompiler(env?: NodeJS.ProcessEnv): string | null;
