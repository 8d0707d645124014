import type { ComponentChildren } from 'preact';
import { DETECTORS, GESTURE_DETECTOR_IDS } from '../../server/engine/detect/detectors.ts';
import type { FieldPath } from '../../server/engine/settings/candidateRules.ts';
import { briefOf } from '../../server/engine/words/events.ts';
import { editedCandidate, sight } from '../state/store.ts';
import { VIEW_FACTS } from '../state/views.ts';
import { ButtonsTable, buttonsBrief, DEFLECTION_BUTTON_FIELDS, POWER_FIELDS } from './ButtonsCard.tsx';
import { CandidateBar } from './CandidateBar.tsx';
import { Fields } from './Field.tsx';
import { foldGroup, openGroups } from './folding.ts';
import { SmoothingFields, smoothingWords } from './SmoothingFields.tsx';

/** What a guard turns on; its finer settings fold. */
const FIRST_OF_GUARD: readonly FieldPath[] = ['guard.speedDps', 'guard.holdMs'];

/** Every setting of the candidate under edit: the guard's open, the others folded. */
export function SettingsPanel() {
  const candidate = editedCandidate.value;
  const isOfGuard = VIEW_FACTS[sight.view.value].isOfGuard ?? false;
  return (
    <>
      <CandidateBar />
      <Group title={DETECTORS.guard.title} hue="guard">
        <Fields group="guard" paths={FIRST_OF_GUARD} />
        <Finer>
          <Fields group="guard" without={[...FIRST_OF_GUARD, ...POWER_FIELDS]} />
        </Finer>
      </Group>
      {!isOfGuard && (
        <Folded
          title={DETECTORS.deflection.title}
          hue="deflection"
          summary={`${candidate.deflection.speedDps} °/s`}
        >
          <Fields group="deflection" without={DEFLECTION_BUTTON_FIELDS} />
        </Folded>
      )}
      <Folded title="What the buttons do" id="buttons" hue="ink" summary={buttonsBrief()}>
        <ButtonsTable />
      </Folded>
      <Folded title="Smoothing" hue="ink" summary={smoothingWords(candidate.smoothing)}>
        <SmoothingFields kind={candidate.smoothing.kind} />
      </Folded>
      {(isOfGuard ? [] : GESTURE_DETECTOR_IDS).map((id) => (
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

/** Set once for a prop, and seldom again. */
function Finer({ children }: { readonly children: ComponentChildren }) {
  return (
    <details
      class="finer"
      open={openGroups.value.has('finer')}
      onToggle={(event) => foldGroup('finer', event.currentTarget.open)}
    >
      <summary>Release</summary>
      {children}
    </details>
  );
}

/** @param props.id  by which it is kept open; its hue where it is not given. */
function Folded(props: {
  title: string;
  id?: string;
  hue: string;
  summary: string;
  children: ComponentChildren;
}) {
  const { id = props.hue } = props;
  return (
    <details
      class="card settings"
      style={{ '--hue': `var(--${props.hue})` }}
      open={openGroups.value.has(id)}
      onToggle={(event) => foldGroup(id, event.currentTarget.open)}
    >
      <summary>
        <h2>{props.title}</h2>
        <span class="unit">{props.summary}</span>
      </summary>
      {props.children}
    </details>
  );
}
