import { expect, test, vi } from 'vitest';
import { DEFAULT_CALIBRATION, withMount, withoutMount } from '../../server/engine/calibrate/calibration.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { fetchWorkspace, patchTake } from '../../web/api.ts';
import { changeDocument, openTake, rebased } from '../../web/state/openTake.ts';
import { desk } from '../../web/takes/desk.ts';
import { openSwingingTake } from './swingingTake.ts';

vi.mock('../../web/api.ts');

test('a change that is made while another is under way goes on from what that leaves, and both are there', async () => {
  const { motion } = openSwingingTake();
  let server = openTake.peek()!.document;
  const from: number[] = [];
  vi.mocked(patchTake).mockImplementation(async (_id, { revision, ...change }) => {
    from.push(revision);
    server = { ...server, ...change, revision: revision + 1 } as TakeDocument;
    return server;
  });
  vi.mocked(fetchWorkspace).mockResolvedValue({ takes: [] } as never);
  vi.spyOn(desk, 'ask').mockImplementation(
    async () => ({ motion, thin: null, ready: null, roll: null, gestures: [] }) as never,
  );
  const { calibration } = server;
  const first = changeDocument({ calibration: { ...calibration, leverArmM: 0.2 } });
  // Made of the same document, which the first change has left behind by the time it is its turn.
  const second = changeDocument({ calibration: { ...calibration, accelScale: 1.02 } });
  await Promise.all([first, second]);
  expect(from).toEqual([1, 2]);
  expect(server.calibration).toMatchObject({ leverArmM: 0.2, accelScale: 1.02 });
  expect(openTake.peek()!.document.revision).toBe(3);

  // What is shown still is asked for again, while another is under way: that is taken back, and nothing else.
  const shown = openTake.peek()!.document.calibration;
  const other = { tip: '+z', side: '+y' } as const;
  const there = changeDocument({ calibration: withMount(shown, other) });
  const back = changeDocument({ calibration: withoutMount(shown) });
  await Promise.all([there, back]);
  expect(server.calibration).toEqual({ ...shown, isMountStated: false });
  expect(from.length).toBe(4);
});

test('only the fields that a change was about are taken from it', () => {
  const before = { ...DEFAULT_CALIBRATION, isMountStated: true };
  const { isMountStated, ...after } = before;
  const now = { ...before, leverArmM: 0.3 };
  expect(isMountStated).toBe(true);
  expect(rebased<object>(before, after, now)).toEqual({ ...after, leverArmM: 0.3 });
});
