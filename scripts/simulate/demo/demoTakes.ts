import type { Choreographed } from '../choreography.ts';
import type { ClockModel } from '../clock.ts';
import { type CsvDialect, writeCsv } from '../csv.ts';
import type { SensorModel } from '../sensor.ts';
import { type SimulatedTake, simulateTake } from '../take.ts';
import { firstLesson } from './beginner.ts';
import { DEVICES } from './devices.ts';
import { DIALECTS } from './dialects.ts';
import { parryDrill, thrustLine, twistDial } from './duellist.ts';
import { fastEight, routine, slowEight, wallPlane } from './spinner.ts';

/** One take of the demonstration, ready to be simulated. */
export interface DemoTake {
  /** Name of its files, without ending. */
  readonly name: string;
  readonly title: string;
  readonly performer: string;
  readonly drill: string;
  readonly rateHz: number;
  readonly seed: number;
  readonly device: keyof typeof DEVICES;
  readonly mount: SensorModel['mount'];
  readonly leverArmM: SensorModel['leverArmM'];
  readonly bladeLengthM: number;
  readonly clock: ClockModel;
  readonly dialect: CsvDialect;
  readonly choreography: () => Choreographed;
}

const SPINNER = { performer: 'Lead spinner', bladeLengthM: 0.9 } as const;
const DUELLIST = { performer: 'Stage duellist', bladeLengthM: 0.85 } as const;
const BEGINNER = { performer: 'Beginner', bladeLengthM: 0.8 } as const;

/** An invented blade corps of a lantern parade: a lead spinner, a stage duellist, a beginner. */
export const DEMO_TAKES: readonly DemoTake[] = [
  {
    ...SPINNER,
    name: 'spinner-slow-figure-eight',
    title: 'Slow figure-eight',
    drill: 'slow figure-eight',
    rateHz: 200,
    seed: 11,
    device: 'slim',
    mount: { tip: '+x', side: '+y' },
    leverArmM: [0.12, 0.004, -0.003],
    clock: { jitterUs: 60, skewPpm: 25, stampStepUs: 100, lostRows: 3, lostRun: null },
    dialect: DIALECTS.plain,
    choreography: slowEight,
  },
  {
    ...SPINNER,
    name: 'spinner-fast-figure-eight',
    title: 'Fast figure-eight',
    drill: 'fast figure-eight',
    rateHz: 500,
    seed: 22,
    device: 'narrow',
    mount: { tip: '-y', side: '+x' },
    leverArmM: [0.14, 0.003, 0.005],
    clock: { jitterUs: 40, skewPpm: -15, stampStepUs: 1000, lostRows: 5, lostRun: null },
    dialect: DIALECTS.codes,
    choreography: fastEight,
  },
  {
    ...SPINNER,
    name: 'spinner-wall-plane',
    title: 'Wall-plane reversals',
    drill: 'wall-plane reversals',
    rateHz: 200,
    seed: 33,
    device: 'slim',
    mount: { tip: '+x', side: '+y' },
    leverArmM: [0.16, -0.004, 0.002],
    clock: { jitterUs: 80, skewPpm: 30, stampStepUs: 100, lostRows: 4, lostRun: null },
    dialect: DIALECTS.decimalComma,
    choreography: wallPlane,
  },
  {
    ...SPINNER,
    name: 'spinner-full-routine',
    title: 'Full routine',
    drill: 'full routine',
    rateHz: 200,
    seed: 44,
    device: 'slim',
    mount: { tip: '+z', side: '-x' },
    leverArmM: [0.18, 0.002, 0.004],
    clock: { jitterUs: 50, skewPpm: 10, stampStepUs: 1, lostRows: 2, lostRun: { atS: 8.5, rows: 14 } },
    dialect: DIALECTS.labelled,
    choreography: routine,
  },
  {
    ...DUELLIST,
    name: 'duellist-parry-drill',
    title: 'Parry drill',
    drill: 'parries',
    rateHz: 500,
    seed: 55,
    device: 'wide',
    mount: { tip: '+y', side: '-x' },
    leverArmM: [0.3, 0.003, -0.004],
    clock: { jitterUs: 25, skewPpm: 5, stampStepUs: 1, lostRows: 4, lostRun: null },
    dialect: DIALECTS.epoch,
    choreography: parryDrill,
  },
  {
    ...DUELLIST,
    name: 'duellist-thrust-line',
    title: 'Thrust line',
    drill: 'thrusts into a pad',
    rateHz: 1000,
    seed: 66,
    device: 'wide',
    mount: { tip: '-x', side: '-y' },
    leverArmM: [0.35, -0.002, 0.003],
    clock: { jitterUs: 15, skewPpm: -8, stampStepUs: 1, lostRows: 6, lostRun: null },
    dialect: DIALECTS.milli,
    choreography: thrustLine,
  },
  {
    ...DUELLIST,
    name: 'duellist-twist-dial',
    title: 'Twist dial',
    drill: 'twists',
    rateHz: 100,
    seed: 77,
    device: 'small',
    mount: { tip: '+x', side: '+z' },
    leverArmM: [0.1, 0.003, 0.002],
    clock: { jitterUs: 200, skewPpm: 40, stampStepUs: 1000, lostRows: 2, lostRun: null },
    dialect: DIALECTS.seconds,
    choreography: twistDial,
  },
  {
    ...BEGINNER,
    name: 'beginner-first-lesson',
    title: 'First lesson',
    drill: 'first lesson',
    rateHz: 100,
    seed: 88,
    device: 'small',
    mount: { tip: '+x', side: '+y' },
    leverArmM: [0.28, 0.005, -0.003],
    clock: { jitterUs: 250, skewPpm: -35, stampStepUs: 1000, lostRows: 5, lostRun: null },
    dialect: DIALECTS.stamped,
    choreography: firstLesson,
  },
];

export function simulateDemoTake(demo: DemoTake): SimulatedTake {
  const { name, title, performer, drill, rateHz, seed, clock, bladeLengthM, dialect } = demo;
  return simulateTake({
    rateHz,
    seed,
    clock,
    bladeLengthM,
    sensor: {
      name: `simulated grip sensor "${demo.device}"`,
      leverArmM: demo.leverArmM,
      mount: demo.mount,
      ...DEVICES[demo.device],
    },
    choreography: demo.choreography(),
    names: { file: `${name}.csv`, title, performer, drill },
    buttonNames: dialect.buttons.style === 'edge' ? {} : { power: 'power_button', effect: 'effect_button' },
  });
}

/** The two files of a demo take: the log as its logger writes it, and what is true of it. */
export function demoFiles(
  demo: DemoTake,
  take: SimulatedTake = simulateDemoTake(demo),
): { readonly name: string; readonly text: string }[] {
  return [
    { name: `${demo.name}.csv`, text: writeCsv(take, demo.dialect) },
    { name: `${demo.name}.truth.json`, text: `${JSON.stringify(take.truth, roundNumber, 1)}\n` },
  ];
}

/** Six digits are more than any use of the truth can tell apart. */
function roundNumber(_key: string, value: unknown): unknown {
  return typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(6)) : value;
}
