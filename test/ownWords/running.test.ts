import { describe, expect, test } from 'vitest';
import { endOfJob, testApp } from '../http/testApp.ts';
import { REQUESTS } from './requestRows.ts';
import { RUNNING } from './runningRows.ts';
import { newTake } from './said.ts';

describe('whatever goes wrong is said in the program’s own words, and nothing of it is a fault of ours', () => {
  test.each([...RUNNING, ...REQUESTS])('%s', async (_claim, act, status, code, says) => {
    const running = await testApp();
    const answer = await act(running);
    expect(running.logged).toEqual([]);
    expect([answer.status, answer.code]).toEqual([status, code]);
    expect(answer.message ?? '').toContain(says);
  });

  test('a job that is stopped while its take appears is done, and says so', async () => {
    const { app, workspace } = await testApp();
    const payload = await newTake(workspace);
    const add = workspace.takes.add.bind(workspace.takes);
    let stopped: Promise<unknown> = Promise.resolve();
    let id = '';
    workspace.takes.add = (...args) => {
      stopped = app.inject({ method: 'DELETE', url: `/api/jobs/${id}` }).then(() => {});
      return add(...args);
    };
    id = (await app.inject({ method: 'POST', url: '/api/takes', payload })).json().jobId;
    const end = await endOfJob(app, id);
    await stopped;
    const [take] = workspace.takes.list();
    expect(end).toMatchObject({ state: 'done', result: { takeId: take!.id } });
  });
});
