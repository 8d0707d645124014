import { stepThroughHistory } from './history.ts';
import { judgeSetting } from './judgeSetting.ts';
import { keepAgain, takeBackKeep } from './keptSettings.ts';
import { keptSteps } from './store.ts';

/** Takes the last step back, or the last one taken back anew: of candidates, labels and the keeping of settings. */
export function step(type: 'undone' | 'redone'): void {
  const keptId = keptSteps[type].peek();
  stepThroughHistory(type);
  if (keptId === null) return;
  if (type === 'undone') void takeBackKeep(keptId);
  else void keepAndJudge(keptId);
}

async function keepAndJudge(id: string): Promise<void> {
  const setting = await keepAgain(id);
  if (setting?.evidence === null) await judgeSetting(setting);
}
