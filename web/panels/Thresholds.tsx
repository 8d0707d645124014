import { readField } from '../../server/engine/settings/candidateRules.ts';
import { yOf } from '../charts/geometry.ts';
import type { Slot } from '../state/model.ts';
import { candidates, sight } from '../state/store.ts';
import { Threshold, type ThresholdProps } from './Threshold.tsx';

/** Two lines nearer than this look like one. */
const APART_PX = 3;

type LineProps = Pick<ThresholdProps, 'path' | 'name' | 'hue'> & { readonly isMagnitude?: boolean };

interface LinesProps {
  readonly lines: readonly LineProps[];
  readonly range: readonly [number, number];
  readonly height: number;
  readonly isQuiet?: boolean;
}

/**
 * The thresholds of a stave for the candidates in sight; those of the candidate under edit lie on top.
 * Quiet ones are fine lines with their tags on the left, of the candidate under edit alone.
 */
export function Thresholds(props: LinesProps) {
  const slot = sight.slot.value;
  const showB = sight.showB.value;
  // Always in this order: a line that is grabbed keeps its element, and with it the focus, when its candidate comes on top.
  const slots = (['a', 'b'] as const).filter((which) => which === slot || (showB && !props.isQuiet));
  // The first line of a stave, the guard's, lies on top of the others, so that it is the one a drag takes.
  return (
    <>
      {slots.flatMap((which) =>
        props.lines
          .map(({ isMagnitude, ...line }, k) => {
            const place = k + (which === slot ? 0 : props.lines.length);
            const common = {
              ...line,
              slot: which,
              range: props.range,
              height: props.height,
              place,
              isQuiet: props.isQuiet ?? false,
              isShared: k === 0 && liesOnAnother(which, props),
            };
            return [
              <Threshold key={`${which}.${k}`} {...common} />,
              ...(isMagnitude ? [<Threshold key={`${which}.${k}.mirror`} {...common} isMirrored />] : []),
            ];
          })
          .reverse(),
      )}
    </>
  );
}

/** Whether the first line of a candidate covers another one. */
function liesOnAnother(slot: Slot, { lines, range, height }: LinesProps): boolean {
  const [first, ...others] = lines.map(({ path }) =>
    yOf(Number(readField(candidates[slot].value, path)), range, height),
  );
  return others.some((y) => Math.abs(y - first!) < APART_PX);
}
