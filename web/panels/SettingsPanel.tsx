import type { ComponentChildren } from 'preact';
import { DETECTORS, GESTURE_DETECTOR_IDS } from '../../server/engine/detect/detectors.ts';
import { briefOf } from '../../server/engine/words/events.ts';
import { editedCandidate, sight } from '../state/store.ts';
import { CandidateBar } from './CandidateBar.tsx';
import { Fields } from './Field.tsx';
import { foldGroup, openGroups } from './folding.ts';
import { SmoothingFields, smoothingWords } from './SmoothingFields.tsx';

/** Every setting of the candidate under edit. The two detectors that the job turns on are open, the others fold. */
export function SettingsPanel() {
  const candidate = editedCandidate.value;
  return (
    <>
      <CandidateBar />
      {(['guard', 'deflection'] as const).map((id) => (
        <Group key={id} title={DETECTORS[id].title} hue={id}>
          <Fields group={id} />
        </Group>
      ))}
      <Folded title="Smoothing" hue="ink" summary={smoothingWords(candidate.smoothing)}>
        <SmoothingFields kind={candidate.smoothing.kind} />
      </Folded>
      {GESTURE_DETECTOR_IDS.map((id) => (
        <Folded key={id} title={DETECTORS[id].title} hue={id} summary={briefOf(id, candidate)}>
          <Fields group={id} />
        </Folded>
      ))}
    </>
  );
}

function Group(props: { title: string; hue: string; children: ComponentChildren }) {
  return (
    <section class="card settings" style={{ '--hue': `var(--${props.hue})` }}>
      <header>
        <h2>{props.title}</h2>
        <span class="unit">candidate {sight.slot.value.toUpperCase()}</span>
      </header>
      {props.children}
    </section>
  );
}

function Folded(props: { title: string; hue: string; summary: string; children: ComponentChildren }) {
  return (
    <details
      class="card settings"
      style={{ '--hue': `var(--${props.hue})` }}
      open={openGroups.value.has(props.hue)}
      onToggle={(event) => foldGroup(props.hue, event.currentTarget.open)}
    >
      <summary>
        <h2>{props.title}</h2>
        <span class="unit">{props.summary}</span>
      </summary>
      {props.children}
    </details>
  );
}
