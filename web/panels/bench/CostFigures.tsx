import { noisePassed } from '../../../server/engine/check/smoothingNoise.ts';
import type { SmoothingSettings } from '../../../server/engine/filter/smoothing.ts';
import { counted, fixed } from '../../../server/engine/words/count.ts';
import type { CostProps } from './CostTable.tsx';

type Cost = NonNullable<CostProps['costs'][number]>;

/** A number that answers a question, and the worst swing's where it differs. */
interface Answer {
  readonly value: number;
  readonly worst?: number;
}

interface Figure {
  readonly id: string;
  readonly question: string;
  /** What the number is of. */
  readonly says: string;
  readonly unit: string;
  /** null while it is being measured, and where no swing tells. */
  of(cost: Cost | undefined, smoothing: SmoothingSettings, rateHz: number): Answer | null;
}

const FIGURES: readonly Figure[] = [
  {
    id: 'late',
    question: 'How late',
    says: 'a swing’s rise comes, at half of its peak',
    unit: 'ms',
    of: (cost) => (cost?.latencyMs ? { value: cost.latencyMs.median, worst: cost.latencyMs.worst } : null),
  },
  {
    id: 'lost',
    question: 'How much of a peak is lost',
    says: 'of a swing’s highest speed',
    unit: '%',
    of: (cost) =>
      cost?.peakLoss ? { value: 100 * cost.peakLoss.median, worst: 100 * cost.peakLoss.worst } : null,
  },
  {
    id: 'calm',
    question: 'How calm the line is',
    says: 'of the sensor’s noise is left, by its size',
    unit: '%',
    // Of its power, this squared is left.
    of: (_cost, smoothing, rateHz) => ({ value: 100 * Math.sqrt(noisePassed(smoothing, rateHz).powerPart) }),
  },
];

/** What smoothing costs and buys on this take, in the user's terms: a number for each question, the worst swing's beside it. */
export function CostFigures({ rateHz, names, smoothings, costs }: CostProps) {
  const n = costs[0]?.swings;
  return (
    <section class="card cost-figures" aria-label="What smoothing costs">
      <header>
        <h2>What smoothing costs</h2>
        <span class="unit">{n === undefined ? 'measuring…' : `on ${counted(n, 'swing')} of this take`}</span>
      </header>
      <dl>
        {FIGURES.map((figure) => (
          <div key={figure.id}>
            <dt>{figure.question}</dt>
            {names.map((name, k) => (
              <AnswerLine
                key={name}
                name={name}
                figure={figure}
                answer={figure.of(costs[k], smoothings[k]!, rateHz)}
              />
            ))}
            <dd class="quiet">{figure.says}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function AnswerLine(props: {
  readonly name: string;
  readonly figure: Figure;
  readonly answer: Answer | null;
}) {
  const { name, figure, answer } = props;
  const shown = answer && fixed(answer.value, 1);
  const worst = answer?.worst === undefined ? shown : fixed(answer.worst, 1);
  return (
    <dd data-cost={`${figure.id} ${name}`}>
      <span class="slot">{name}</span> <b>{shown === null ? '–' : `${shown} ${figure.unit}`}</b>
      {worst !== shown && (
        <span class="quiet">
          {' '}
          worst {worst} {figure.unit}
        </span>
      )}
    </dd>
  );
}
