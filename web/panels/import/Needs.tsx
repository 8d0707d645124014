import { plural } from '../../../server/engine/words/count.ts';
import type { Preview } from '../../../server/http/schemas.ts';
import { missingHalf } from '../../state/importFiles.ts';
import type { Import } from '../../state/importState.ts';
import { pickFiles } from '../pickFiles.ts';
import { ClockOffers } from './ClockField.tsx';
import { RoleOffers } from './RoleOffers.tsx';

const SENSORS = {
  accel: {
    other: 'acceleration',
    file: 'the accelerometer’s file',
    held: 'angular rates',
    stand: 'stands',
    them: 'it',
  },
  gyro: {
    other: 'angular rates',
    file: 'the gyroscope’s file',
    held: 'acceleration',
    stand: 'stand',
    them: 'them',
  },
} as const;

/** Statements without which the log cannot be read: one box, with what to do. */
export function Needs({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  if (preview.needs.length === 0) return null;
  const half = missingHalf(preview);
  if (half === null) {
    return (
      <div class="problem" role="alert">
        <b>To read this log, say:</b>
        <ul>
          {preview.needs.map((need) => (
            <li key={need}>{need}</li>
          ))}
        </ul>
        <RoleOffers now={now} preview={preview} />
        <ClockOffers now={now} preview={preview} />
      </div>
    );
  }
  const { other, file, held, stand, them } = SENSORS[half];
  const { files } = preview.mapping;
  const name = files.length === 1 ? files[0]!.name : 'Together these files';
  const others = preview.needs.slice(1);
  return (
    <div class="problem" role="alert">
      <p>
        <b>Half of the motion is missing.</b> {name} {plural(files.length, 'holds', 'hold')} {held}, but no{' '}
        {other}.{' '}
        {now.take === null && `Drop ${file} of the same recording here and the two become one take. `}If{' '}
        {other} {stand} in this file under other names, say below which columns hold {them}.
      </p>
      {now.joinNote !== null && <p>{now.joinNote}</p>}
      {others.length > 0 && (
        <ul>
          {others.map((need) => (
            <li key={need}>{need}</li>
          ))}
        </ul>
      )}
      <RoleOffers now={now} preview={preview} />
      {now.take === null && (
        <p class="problem-actions">
          <button type="button" onClick={pickFiles}>
            Choose the other file…
          </button>
        </p>
      )}
    </div>
  );
}
