/** Runs stages of tests over one mutant after the other, in the folder it is started in. Asked and answered by messages. */
import { readFileSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { createVitest } from 'vitest/node';

const vitest = await createVitest('test', {
  config: 'test/vitest.config.ts',
  project: ['quick', 'page'],
  watch: false,
  bail: 1,
  maxWorkers: 1,
  reporters: [{}],
});
const specifications = await vitest.globTestSpecifications();

/** Whether a test fails. Each stage is a part of test paths; a test that an earlier stage ran is not run again. */
process.on('message', async ({ mutant, stages }) => {
  const path = mutant && resolve(mutant.path);
  const source = mutant && readFileSync(path, 'utf8');
  const put = (text) => {
    writeFileSync(path, text);
    vitest.invalidateFile(path);
  };
  if (mutant) put(source.slice(0, mutant.start) + mutant.text + source.slice(mutant.end));
  // Failures of the fault before would end this run at its first test, and be told of again.
  vitest.state.filesMap.clear();
  vitest.state.idMap.clear();
  let left = specifications;
  let killedBy = null;
  for (const stage of stages) {
    const now = left.filter(({ moduleId }) => moduleId.includes(stage));
    left = left.filter((one) => !now.includes(one));
    if (now.length === 0) continue;
    const { testModules, unhandledErrors } = await vitest.runTestSpecifications(now);
    const failed = testModules.find((module) => module.state() === 'failed');
    const notRun = testModules.find((module) => /^(queued|pending)$/.test(module.state()));
    if (!failed && notRun) throw new Error(`${notRun.relativeModuleId} did not run`);
    if (failed || unhandledErrors.length > 0) killedBy = failed?.relativeModuleId ?? 'an error';
    if (killedBy !== null) break;
  }
  if (mutant) put(source);
  process.send({ killedBy });
});
process.send('ready');
