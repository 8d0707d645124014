import { DEFLECTION, type SwingEvidence } from '../../../../server/engine/choose/deflectionProblem.ts';
import type { MissReason } from '../../../../server/engine/explain/missedSwings.ts';
import type { DeflectionGrid, DeflectionPart } from '../../../../server/engine/sweep/deflectionSweep.ts';
import { leftOutText, swingBasis } from '../../../../server/engine/words/choose/basis.ts';
import { areOfSeveral, ONE_AT_A_TIME } from '../../../../server/engine/words/choose/declines.ts';
import { wrongSwing } from '../../../../server/engine/words/choose/wrong.ts';
import { missCountsText } from '../../../../server/engine/words/misses.ts';
import type { DeflectionJob } from '../../../sweep/jobs.ts';
import { countFigure, delayFigure, outsideFigure } from '../Figure.tsx';
import { DEFLECTION_LAYERS, shownMs } from '../layers.ts';
import type { MapView } from './mapView.ts';

/** More wrong deflections than this part of the swings: the suggestion is the best of a poor lot. */
const POOR_SHARE = 0.05;

export const DEFLECTION_VIEW: MapView<DeflectionPart, DeflectionGrid, SwingEvidence, MissReason> = {
  problem: DEFLECTION,
  title: 'Deflection map',
  xLabel: 'deflection fires at, °/s',
  yLabel: 're-arms below this part of it',
  layers: DEFLECTION_LAYERS,
  cellText({ wrong, sizes, timesMs }, cell) {
    const [missed, twice] = [wrong.missed[cell]!, wrong.twice[cell]!];
    const delayMs = timesMs.delayMedianMs[cell]!;
    const delay = Number.isNaN(delayMs) ? '' : ` · delay ${shownMs(delayMs)}`;
    return `once ${sizes.swings - missed - twice} of ${sizes.swings} swings · missed ${missed} · double ${twice} · outside ${wrong.outside[cell]}${delay}`;
  },
  columns: [
    { part: 'missed', name: 'missed', head: 'missed', title: 'Swings without a deflection', isBad: true },
    { part: 'twice', name: 'twice', head: 'double', title: 'Swings that fire twice or more', isBad: true },
    {
      part: 'outside',
      name: 'outside',
      head: 'outside',
      title: 'Fires outside any swing',
      isBad: true,
      isPlainCount: true,
    },
  ],
  moreFires: 'outside any swing',
  figures({ wrong: { missed, twice, outside }, timesMs }, evidence) {
    const once = { k: missed.n - missed.k - twice.k, n: missed.n };
    return [
      countFigure('deflection', 'Fires once a swing', once),
      countFigure('deflection', 'Missed', missed),
      countFigure('deflection', 'Twice or more', twice),
      outsideFigure('Outside swings', outside.k, evidence),
      ...delayFigure(timesMs),
    ];
  },
  remarks({ wrong: { missed, twice, outside } }, { wrong }, evidence) {
    const causes = missCountsText(wrong.flatMap(({ why }) => why ?? []));
    const isPoor = missed.k + twice.k + outside.k > POOR_SHARE * missed.n;
    return (
      <>
        {causes !== '' && <p data-causes>Of the swings missed: {causes}.</p>}
        {isPoor && (
          <p>No setting does well on all of these swings.{areOfSeveral(evidence) && ` ${ONE_AT_A_TIME}`}</p>
        )}
      </>
    );
  },
  basis: (evidence, { deflection: { restMs, confirmMs, switchedOn } }) =>
    `${swingBasis(evidence)}${leftOutText(evidence)} Rest ${restMs} ms and confirmation ${confirmMs} ms are the candidate’s own${switchedOn === 'held' ? ', and deflections on while their button is held' : ''}.`,
  wrongText: wrongSwing,
  moreWrong: '',
  taken: ({ deflection }, speedDps, rearmRatio) => ({ deflection: { ...deflection, speedDps, rearmRatio } }),
  rulesName: 'smoothing, rest, confirmation and button',
  rulesOf: ({ smoothing, deflection: { restMs, confirmMs, switchedOn, debounceMs } }) => [
    smoothing,
    restMs,
    confirmMs,
    switchedOn,
    debounceMs,
  ],
  job: (takes, { smoothing, deflection }): DeflectionJob => ({
    kind: 'deflection',
    takes,
    smoothing,
    base: DEFLECTION.at(deflection, DEFLECTION.x.values[0]!, DEFLECTION.y.values[0]!),
  }),
};
