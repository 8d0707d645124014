import { useState } from 'preact/hooks';
import { SCORE_COLUMNS } from '../../../server/engine/compare/cells.ts';
import type { SettingEvidence } from '../../../server/engine/kept/keptSetting.ts';
import { changesText } from '../../../server/engine/kept/stale.ts';
import { PROBLEM_WORDS } from '../../../server/engine/words/choose/problems.ts';
import { counted, listed, percentRange } from '../../../server/engine/words/count.ts';
import { keptMountText } from '../../../server/engine/words/mount.ts';
import type { StoredSetting } from '../../../server/http/schemas.ts';
import { sheetAddress } from '../../api.ts';
import { judgeSetting, judging } from '../../state/judgeSetting.ts';
import { keepInstead, loadSetting, removeSetting } from '../../state/keptSettings.ts';
import { changesById } from '../../state/settingChanges.ts';
import { bothCandidates, sight } from '../../state/store.ts';
import { cellText, cellTitle, isBad } from '../compare/cellText.ts';
import { HandOverDialog } from './HandOverDialog.tsx';
import { KeepDialog } from './KeepDialog.tsx';

/** One kept setting: its values, how it did, what has changed since, and what can be done with it. */
export function KeptCard({ setting }: { readonly setting: StoredSetting }) {
  const { id, name, prop, performers, note, candidate, evidence } = setting;
  const { guard, deflection } = candidate;
  const changes = changesById.value.get(id) ?? [];
  const whom = [performers.length === 0 ? 'anybody' : listed(performers), ...(prop === '' ? [] : [prop])];
  return (
    <section class="card kept-card" data-setting={id}>
      <header>
        <h2>{name}</h2>
        <span class="unit">for {whom.join(' · ')}</span>
        <Standing setting={setting} />
      </header>
      <p class="headline">
        {PROBLEM_WORDS.guard.setting(guard.speedDps, guard.holdMs)}
        <span class="quiet">
          {' '}
          deflection {PROBLEM_WORDS.deflection.setting(deflection.speedDps, deflection.rearmRatio)}
        </span>
      </p>
      {evidence && changes.length > 0 && <p class="caution-line">{changesText(changes)}</p>}
      {evidence && <ByMotion evidence={evidence} />}
      {evidence && <Scores evidence={evidence} />}
      {evidence && <KeptMount evidence={evidence} />}
      {evidence && <Margins evidence={evidence} />}
      {note !== '' && <p>{note}</p>}
      <Commands setting={setting} />
    </section>
  );
}

/** Judged, being judged, or judged on something that has changed since. */
function Standing({ setting }: { readonly setting: StoredSetting }) {
  const progress = judging.value.get(setting.id);
  const changes = changesById.value.get(setting.id) ?? [];
  if (progress)
    return (
      <span class="kept-standing" role="status">
        <progress value={progress.done} max={progress.total} aria-label="takes judged" /> judging,{' '}
        {progress.done} of {counted(progress.total, 'take')}
      </span>
    );
  const { evidence } = setting;
  return (
    <span class="kept-standing" role="status" data-standing={changes.length === 0 ? 'current' : 'stale'}>
      {evidence && (
        <span class="quiet">
          judged {evidence.judgedAt.slice(0, 10)} on {counted(evidence.takes.length, 'take')}
        </span>
      )}
      {changes.length === 0 ? (
        <span class="state-word is-pass">up to date</span>
      ) : (
        <>
          <span class="state-word is-caution">{evidence ? 'out of date' : 'not judged'}</span>
          <button type="button" class="small" onClick={() => void judgeSetting(setting)}>
            {evidence ? 'Judge anew' : 'Judge'}
          </button>
        </>
      )}
    </span>
  );
}

/** The scores shown, by their ids, each by a name that stands alone. */
const SHOWN_SCORES: Readonly<Record<string, string>> = {
  strays: 'Strays let through',
  wanted: 'Wanted refused',
  missed: 'Deflection: swings missed',
  twice: 'Deflection: swings fired twice',
  stabMissed: 'Stab: thrusts missed',
  impactMissed: 'Impact: hits missed',
  twistMissed: 'Twist: twists missed',
};

/** What a guard was judged by where presses do not tell: before scores of what nobody chose. */
function ByMotion({ evidence }: { readonly evidence: SettingEvidence }) {
  const motion = evidence.problems.find(({ kind }) => kind === 'motion');
  if (!motion) return null;
  const isPressed = SCORED_PRESSES.some((id) => evidence.scores[id]);
  return (
    <>
      <dl class="figures" data-judged="motion">
        {Object.entries(MOTION_PARTS).map(([part, name]) => (
          <div key={part}>
            <dt>{name}</dt>
            <dd>
              <b class={motion.wrong[part]!.k > 0 ? 'bad' : ''}>
                {motion.wrong[part]!.k} / {motion.wrong[part]!.n}
              </b>
              {motion.wrong[part]!.interval && (
                <span class="quiet"> at least 95 %: {percentRange(motion.wrong[part]!.interval!)}</span>
              )}
            </dd>
          </div>
        ))}
      </dl>
      <p class="basis">
        The guard was judged by motion, {isPressed ? 'as too few presses are labelled' : 'no presses'}: spins
        stand for stray presses, stops for wanted ones.
      </p>
    </>
  );
}

const MOTION_PARTS = { strays: 'Spins open', wanted: 'Stops late' } as const;
const SCORED_PRESSES = ['strays', 'wanted'] as const;

function Scores({ evidence }: { readonly evidence: SettingEvidence }) {
  const shown = SCORE_COLUMNS.filter(({ id }) => SHOWN_SCORES[id] && evidence.scores[id]);
  if (shown.length === 0)
    return evidence.problems.some(({ kind }) => kind === 'motion') ? null : (
      <p class="quiet">Nothing in its takes is labelled: no score says how it does.</p>
    );
  return (
    <dl class="figures">
      {shown.map(({ id, says }) => {
        const cell = evidence.scores[id]!;
        return (
          <div key={id} title={cellTitle(cell, says)}>
            <dt>{SHOWN_SCORES[id]}</dt>
            <dd>
              <b class={isBad(cell) ? 'bad' : ''}>{cellText(cell)}</b>
              {cell.kind === 'count' && cell.interval && (
                <span class="quiet"> about 95 %: {percentRange(cell.interval)}</span>
              )}
            </dd>
          </div>
        );
      })}
    </dl>
  );
}

function KeptMount({ evidence }: { readonly evidence: SettingEvidence }) {
  const text = keptMountText(evidence.takes);
  return text === '' ? null : <p class="caution-line">{text}</p>;
}

/** How far the guard's values can change, or why nothing tells. */
function Margins({ evidence }: { readonly evidence: SettingEvidence }) {
  const problem = evidence.problems.find(({ kind }) => kind === 'motion') ?? evidence.problems[0];
  if (!problem) return null;
  const { margins, declined, kind, suggested, x, y } = problem;
  if (margins === null) return <p class="basis">{declined}</p>;
  const range = ({ low, high }: { low: number; high: number }, unit: string) =>
    low === high ? `at ${low} ${unit} alone` : `from ${low} to ${high} ${unit}`;
  const isSuggested = suggested?.x === x && suggested.y === y;
  return (
    <p class="basis">
      As good {range(margins.x, '°/s')} at {y} ms, and {range(margins.y, 'ms')} at {x} °/s, as Sweep chooses:
      a few more open reversals or a little more quiet time closed count as no worse.{' '}
      {isSuggested || suggested === null
        ? ''
        : `Sweep would choose ${PROBLEM_WORDS[kind].setting(suggested.x, suggested.y)} on these takes.`}
      {evidence.takes.some(({ isSynthetic }) => isSynthetic) &&
        ' Judged on synthetic takes: they prove nothing of a prop.'}
    </p>
  );
}

function Commands({ setting }: { readonly setting: StoredSetting }) {
  const [dialog, setDialog] = useState<'change' | 'handOver' | null>(null);
  const slot = sight.slot.value;
  const isSame = JSON.stringify(bothCandidates.value[slot]) === JSON.stringify(setting.candidate);
  const close = (): void => setDialog(null);
  return (
    <p class="commands">
      <a
        class="button"
        href={sheetAddress(setting.id)}
        target="_blank"
        rel="noopener"
        title="Opens in a tab of its own, to be read, saved or printed"
      >
        Sheet <span aria-hidden="true">↗</span>
      </a>
      <button type="button" class="main" onClick={() => setDialog('handOver')}>
        Hand over…
      </button>
      <span class="spacer" />
      {(['a', 'b'] as const).map((which) => (
        <button key={which} type="button" class="small" onClick={() => loadSetting(setting, which)}>
          Load into {which.toUpperCase()}
        </button>
      ))}
      <button
        type="button"
        class="small"
        disabled={isSame}
        title={`Candidate ${slot.toUpperCase()} takes the place of its values`}
        onClick={async () => {
          const kept = await keepInstead(setting, slot);
          if (kept) void judgeSetting(kept);
        }}
      >
        Replace by {slot.toUpperCase()}
      </button>
      <button type="button" class="small" onClick={() => setDialog('change')}>
        Change…
      </button>
      <button type="button" class="small" onClick={() => void removeSetting(setting)}>
        Remove
      </button>
      {dialog === 'change' && <KeepDialog of={setting} onClose={close} />}
      {dialog === 'handOver' && <HandOverDialog setting={setting} onClose={close} />}
    </p>
  );
}
