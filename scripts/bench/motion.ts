import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { evidenceOf } from '../../server/engine/choose/evidence.ts';
import { GUARD } from '../../server/engine/choose/guardProblem.ts';
import { type Agreement, findAgreement } from '../../server/engine/choose/motion/agreement.ts';
import { MOTION, motionEvidenceOf, motionGrid } from '../../server/engine/choose/motion/motionProblem.ts';
import { PATIENCE } from '../../server/engine/choose/motion/patience.ts';
import { suggest, suggestOn } from '../../server/engine/choose/suggest.ts';
import { type ChoiceTake, sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { computeRateMotion } from '../../server/engine/motion/motion.ts';
import { computeSpeedSignals } from '../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { findTruth } from '../../server/engine/truth/truth.ts';
import { DEMO_TAKES, simulateDemoTake } from '../simulate/demo/demoTakes.ts';
import type { SimulatedTake } from '../simulate/take.ts';
import { simulateWorkspace } from '../simulate/workspaces.ts';
import { coverageOf } from './motion/coverage.ts';
import { SPIN_KINDS, spinPool } from './motion/spinPool.ts';
import type { Print } from './pair.ts';

const WORKSPACES = 20;
const POOL = 1000;
const DRAWS = 1000;

/**
 * The suggestion from motion alone beside the one from presses: how far apart, and how each does on the presses of takes
 * left out; on the demo takes and on simulated workspaces. Then how often the intervals of spins and stops hold.
 */
export async function benchMotion(print: Print): Promise<void> {
  const demo = DEMO_TAKES.map((take) => seen(take.name, simulateDemoTake(take)));
  for (const take of demo) print(`${take.id}: ${besideText([take])}`);
  print(`all demo takes: ${besideText(demo)}`);
  for (const wantedAfterS of [
    [0.4, 0.9],
    [0.08, 0.3],
  ] as const) {
    print(`wanted presses ${wantedAfterS[0]} to ${wantedAfterS[1]} s after a stop:`);
    for (let seed = 1; seed <= WORKSPACES; ++seed) {
      const takes = simulateWorkspace(seed, { takes: 3, wantedAfterS }).map((take, k) =>
        seen(`take ${k + 1}`, take),
      );
      print(`  workspace ${seed}: ${besideText(takes)}`);
    }
  }
  for (const kind of SPIN_KINDS) {
    const pool = spinPool(kind, POOL, 1);
    for (const count of [5, 10, 20, 40]) {
      const { least, mean, settings, chosenSpins, chosenStops } = coverageOf(pool, count, DRAWS, 2);
      print(
        `intervals of ${count} ${kind} spins hold in ${percent(mean)} % (least of ${settings} settings ${percent(least)} %), at the chosen setting ${percent(chosenSpins)} % of spins and ${percent(chosenStops)} % of stops`,
      );
    }
  }
}

function seen(id: string, simulated: SimulatedTake): ChoiceTake {
  const { mount } = simulated.truth.sensor;
  const calibration = { ...DEFAULT_CALIBRATION, mount: mount as typeof DEFAULT_CALIBRATION.mount };
  const motion = computeRateMotion(buildTimeBase(simulated.log).uniform, calibration);
  const by = 'simulation' as const;
  const labels = {
    presses: simulated.truth.presses.map(({ downUs, button, intent }) => ({ downUs, button, intent, by })),
    spans: simulated.truth.spans.map((span) => ({ ...span, by })),
    swings: simulated.truth.swings.map(({ startUs, endUs, peakUs }) => ({ startUs, endUs, peakUs, by })),
  };
  const presses = simulated.presses.filter(({ button }) => button.startsWith('power'));
  const signals = computeSpeedSignals(motion, DEFAULT_CANDIDATE.smoothing);
  return { id, title: id, performer: '', signals, presses, labels, truth: findTruth(motion, labels) };
}

/** Both suggestions whatever they are worth, and whether the page would give them. */
function besideText(takes: readonly ChoiceTake[]): string {
  const { guard } = DEFAULT_CANDIDATE;
  const pressed = takes.map((take) => sweepTake(take, guard));
  const base = { ...guard, patienceMs: PATIENCE.default };
  const grids = takes.map((take, k) => motionGrid(take, base, pressed[k]!));
  const moved = MOTION.sum(grids);
  const given = (kind: string) => (kind === 'suggestion' ? '' : ' (declined)');
  const motionKind = suggest(MOTION, moved, takes.map(motionEvidenceOf)).kind;
  const own = suggestOn(GUARD, GUARD.sum(pressed));
  const pairs = takes.map((take, k) => {
    const evidence = evidenceOf(take, guard);
    return { key: take.id, pressed: pressed[k]!, evidence, moved: grids[k]!, soon: { k: 0, n: 0 } };
  });
  const agreement = findAgreement(suggestOn(MOTION, moved), pairs);
  if (agreement === null) return 'no press';
  const { byMotion, byPresses, leftOut } = agreement;
  const pressKind = byPresses === null ? 'declined' : 'suggestion';
  const left =
    leftOut === null
      ? ''
      : `; left out: ${wrongText(leftOut.byMotion)} by motion, ${leftOut.byPresses ? wrongText(leftOut.byPresses) : 'none'} by presses`;
  return `spins ${moved.sizes.strays}, stops ${moved.sizes.wanted}: motion ${settingText(byMotion)}${given(motionKind)}, presses ${settingText(own)}${given(pressKind)}; wrong ${wrongText(byMotion)} by motion, ${wrongText(own.wrong)} by presses${left}`;
}

function settingText({ x, y }: { readonly x: number; readonly y: number }): string {
  return `${x} °/s ${y} ms`;
}

function wrongText({ strays, wanted }: Pick<Agreement['byMotion'], 'strays' | 'wanted'>): string {
  return `${strays.k + wanted.k} of ${strays.n + wanted.n}`;
}

function percent(share: number): string {
  return (100 * share).toFixed(1);
}
