import { expect, test } from 'vitest';
import { SerialWork } from '../../server/store/serialWork.ts';

test('work of one key runs in turn, also after a failure; other keys do not wait', async () => {
  const work = new SerialWork();
  const log: string[] = [];
  let open = (): void => {};
  const gate = new Promise<void>((resolve) => {
    open = resolve;
  });
  const first = work.run('a', async () => {
    log.push('a1 begins');
    await gate;
    log.push('a1 fails');
    throw new Error('a1');
  });
  const second = work.run('a', async () => log.push('a2'));
  await work.run('b', async () => log.push('b1'));
  open();
  await expect(first).rejects.toThrow('a1');
  await second;
  expect(log).toEqual(['a1 begins', 'b1', 'a1 fails', 'a2']);
});

test('idle waits for all of it, also for what is begun meanwhile', async () => {
  const work = new SerialWork();
  let done = 0;
  void work.run('a', async () => {
    await tick();
    void work.run('b', async () => {
      await tick();
      ++done;
    });
    ++done;
  });
  await work.idle();
  expect(done).toBe(2);
});

function tick(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}
