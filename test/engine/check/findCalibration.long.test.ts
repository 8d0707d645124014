import { describe, expect, test } from 'vitest';
import { listMounts, mountMatrix } from '../../../server/engine/base/mount.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { applyMount } from '../applyMount.ts';
import { check, lineOf, mapColumns, sensor, take } from './checkedTakes.ts';

const GOOD = take();

describe('what a take says of its own sensor', () => {
  const { found } = check(GOOD.log).data;

  test('bias and its drift', () => {
    const { gyroBiasDps, gyroDriftDpsPerMin } = GOOD.truth.sensor;
    gyroBiasDps.forEach((bias, k) => {
      expect(Math.abs(found.bias!.dps[k]! - bias)).toBeLessThan(0.02);
      expect(found.bias!.halfDps[k]!).toBeGreaterThan(0);
      expect(found.bias!.halfDps[k]!).toBeLessThan(0.05);
    });
    // on every axis, over the 25 s between the middles of the two rests
    expect(Math.abs(found.bias!.driftDps - (Math.sqrt(3) * gyroDriftDpsPerMin * 25) / 60)).toBeLessThan(0.02);
  });

  test('lever arm, sure and within 5 %', () => {
    expect(found.arm!.isSure).toBe(true);
    expect(Math.abs(found.arm!.leverArmM / 0.32 - 1)).toBeLessThan(0.05);
  });

  test('one way up only does not tell a scale from a bias', () => {
    expect(found.scale!.turnedDeg).toBeLessThan(1);
    expect(found.scale!.isSure).toBe(false);
  });
});

test('rests in two directions, each 4 % short, tell the scale', () => {
  const turned = applyMount(GOOD.log, { tip: '+y', side: '-z' });
  const half = GOOD.log.timeUs.length >> 1;
  const log = mapColumns(GOOD.log, (column, key) =>
    key.startsWith('accel') ? column.map((g, i) => 0.96 * (i < half ? g : turned[key][i]!)) : column,
  );
  const checked = check(log);
  const { scale } = checked.data.found;
  expect(scale!.isSure).toBe(true);
  expect(lineOf(checked, 'restForce').advice).toBe(
    'Accept the accelerometer’s scale on the calibration card.',
  );
  // the simulated accelerometer's own bias of 5 to 14 mg stays in
  expect(Math.abs(scale!.accelScale * 0.96 - 1)).toBeLessThan(0.012);
});

test('rests that disagree by 12 % show no scale, and none is to be accepted', () => {
  const turned = applyMount(GOOD.log, { tip: '+y', side: '-z' });
  const half = GOOD.log.timeUs.length >> 1;
  const log = mapColumns(GOOD.log, (column, key) =>
    key.startsWith('accel') ? column.map((g, i) => (i < half ? 1.02 * g : 0.9 * turned[key][i]!)) : column,
  );
  const checked = check(log);
  expect(checked.data.found.scale).toMatchObject({ doubt: 'scatter', isSure: false });
  expect(lineOf(checked, 'restForce').advice).toMatch(/^No one scale mends it/);
});

test.each(listMounts().filter((_, k) => k % 5 === 0))('the tip of a sensor mounted %o is found', (mount) => {
  const { log } = take({ sensor: { ...sensor(), mount } });
  const { mount: found } = check(log).data.found;
  expect(found!.isSure).toBe(true);
  expect(found!.mount.tip).toBe(mount.tip);
});

test('a sensor that sits 20° askew gets the correction that turns its blade onto +x', () => {
  // the log as a sensor would give it whose axes stand 20° about z off the prop's
  const log = applyMount(GOOD.log, { tip: '+x', side: '+y', correctionDeg: [0, 0, 20] });
  const { mount, offDeg } = check(log).data.found.mount!;
  expect(Math.abs(offDeg - 20)).toBeLessThan(4);
  const m = mountMatrix(mount);
  const [c, s] = [Math.cos(Math.PI / 9), Math.sin(Math.PI / 9)];
  // the true blade, (1, 0, 0) of the prop, in that sensor's frame
  const blade = [c, s, 0] as const;
  const along = m[0]! * blade[0] + m[1]! * blade[1] + m[2]! * blade[2];
  expect((Math.acos(Math.min(1, along)) * 180) / Math.PI).toBeLessThan(4);
});

test('a take without rest or swings says nothing', () => {
  const log = mapColumns(GOOD.log, (column, key) =>
    key === 'timeUs' ? column.slice(0, 300) : column.slice(0, 300).map((v, i) => v + 30 * Math.sin(i)),
  );
  expect(check(log, { calibration: DEFAULT_CALIBRATION }).data.found).toEqual({
    bias: null,
    scale: null,
    mount: null,
    arm: null,
  });
});

test('an accelerometer that reads nothing but 0 has no scale, and the check says that it is dead', () => {
  const checked = check(
    mapColumns(GOOD.log, (column, key) => (key.startsWith('accel') ? column.map(() => 0) : column)),
  );
  expect(checked.data.found.scale).toBe(null);
  expect(checked.verdict).toBe('unfit');
  expect(lineOf(checked, 'channels').finding).toMatch(/accelerometer z reads nothing but 0 throughout/);
});
