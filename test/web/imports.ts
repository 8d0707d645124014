import { expect, vi } from 'vitest';
import { cancelImport, importFiles } from '../../web/state/importing.ts';
import { type Import, importing, setWaiting } from '../../web/state/importState.ts';
import { notices } from '../../web/state/notices.ts';
import { server, untroubled } from './fakeReader.ts';

/** A dialog that nothing is in, a server that holds nothing. @returns two halves, two whole logs, and a file that is none */
export async function beginAnew() {
  setWaiting([]);
  while (importing.peek()) await cancelImport();
  Object.assign(server, untroubled());
  server.uploads.clear();
  notices.value = [];
  vi.clearAllMocks();
  const file = (name: string) => new File(['1'], name);
  return {
    acc: file('a_acc.csv'),
    gyr: file('a_gyr.csv'),
    log: file('log.csv'),
    other: file('other_log.csv'),
    bad: file('bad.csv'),
  };
}

export async function bring(...files: File[]): Promise<void> {
  importFiles(files);
  await settle();
}

export const until = (check: () => void) => vi.waitFor(check, { interval: 1 });
export const settle = () => until(() => expect(now().stage).toMatch(/ready|failed/));
export const now = (): Import => importing.peek()!;
export const names = (files: readonly File[]) => files.map(({ name }) => name);
