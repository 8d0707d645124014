import { spawn } from 'node:child_process';

/** Opens an address in the system's browser; where that fails, the address is on the screen anyway. */
export function openBrowser(address: string): void {
  const [command, ...args] = opener(address);
  const child = spawn(command, args, { stdio: 'ignore', detached: true });
  child.on('error', () => console.error(`No browser could be opened. Open ${address} yourself.`));
  child.unref();
}

function opener(address: string): [string, ...string[]] {
  switch (process.platform) {
    case 'darwin':
      return ['open', address];
    case 'win32':
      return ['cmd', '/c', 'start', '""', address];
    default:
      return ['xdg-open', address];
  }
}
