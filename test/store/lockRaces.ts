import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bundleForNode } from './bundle.ts';

/** How often a race had so many winners; what was said that is neither a win nor a refusal. */
export interface Races {
  readonly winners: ReadonlyMap<number, number>;
  readonly odd: readonly string[];
}

/** Which lock lies there as the race begins: of a process that is gone, a chain of two such, torn, or none. */
const BEFORE = ['gone', 'gone', 'torn', 'none'] as const;

/** Lets so many processes try for one stale lock in the same moment, again and again. */
export async function raceForLock(races: number, rivals: number, folder: string): Promise<Races> {
  const script = await bundleForNode(fileURLToPath(new URL('./lockChild.ts', import.meta.url)), folder);
  const children = Array.from({ length: rivals }, () => fork(script));
  await Promise.all(children.map((child) => once(child, 'message')));
  const winners = new Map<number, number>();
  const odd: string[] = [];
  try {
    for (let race = 0; race < races; ++race) {
      layLock(folder, race);
      const atMs = Date.now() + 3;
      const said = await Promise.all(children.map((child) => ask(child, { folder, atMs })));
      const won = said.filter((one) => one === 'won').length;
      winners.set(won, (winners.get(won) ?? 0) + 1);
      odd.push(...said.filter((one) => one !== 'won' && one !== 'refused'));
      await Promise.all(children.map((child) => ask(child, 'letGo')));
    }
  } finally {
    for (const child of children) child.kill();
  }
  return { winners, odd };
}

function layLock(folder: string, race: number): void {
  const path = join(folder, 'server.lock');
  const before = BEFORE[race % BEFORE.length]!;
  if (before === 'none') rmSync(path, { force: true });
  else
    writeFileSync(
      path,
      before === 'torn' ? `{"pid": ${race}` : JSON.stringify({ pid: 2 ** 31 - 1 - race, started: '1' }),
    );
}

async function ask(child: ChildProcess, message: object | string): Promise<string> {
  const answer = once(child, 'message');
  child.send(message);
  return String((await answer)[0]);
}
