import type { GuardGrid } from '../../../../server/engine/choose/takeSweep.ts';
import type { MapUnits } from '../GuardMap.tsx';
import { GUARD_LAYERS, type Layer } from '../layers.ts';

const count = (value: number) => String(value);
const noSpins = ({ strays }: GuardGrid) => (strays === 0 ? 'There is no spin in these takes.' : null);
const noStops = ({ wanted }: GuardGrid) => (wanted === 0 ? 'No swing comes to a stop in these takes.' : null);

/** In the grid spins stand in the place of stray presses, and stops in that of wanted ones. */
const LAYERS: readonly Layer<GuardGrid>[] = [
  {
    id: 'wrong',
    name: 'Spins open, stops late',
    legend: 'spins that are open too long and stops after which the guard is late',
    isCount: true,
    of: (grid) => grid.strayLetThrough.map((open, i) => open + grid.wantedRefused[i]!),
    format: count,
    note: (grid) =>
      grid.strays > 0 && grid.wanted > 0 ? null : grid.strays > 0 ? 'there is no stop' : 'there is no spin',
    empty: (grid) => (grid.wanted > 0 ? null : noSpins(grid)),
  },
  {
    id: 'strays',
    name: 'Spins open',
    legend: 'spins in which the guard is open for more than 1 in 20 of the time',
    isCount: true,
    of: (grid) => grid.strayLetThrough,
    format: count,
    empty: noSpins,
  },
  {
    id: 'wanted',
    name: 'Stops late',
    legend: 'stops after which the guard is still closed once the patience is over',
    isCount: true,
    of: (grid) => grid.wantedRefused,
    format: count,
    empty: noStops,
  },
  ...GUARD_LAYERS.filter(({ id }) => !['wrong', 'strays', 'wanted'].includes(id)),
];

export const MOTION_UNITS: MapUnits = { layers: LAYERS, strays: 'spins open', wanted: 'stops late' };

/** Heads of the two columns that count what goes wrong by motion. */
export function WrongUnitHeads() {
  return (
    <>
      <th scope="col" title="Spins in which the guard is open for more than 1 in 20 of the time">
        spins
      </th>
      <th scope="col" title="Stops after which the guard is still closed once the patience is over">
        stops
      </th>
    </>
  );
}
