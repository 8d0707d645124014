import type { ComponentChildren } from 'preact';
import { stabHitSettings } from '../../server/engine/detect/runs.ts';
import { editedCandidate, sight } from '../state/store.ts';
import { CandidateBar } from './CandidateBar.tsx';
import { ChoiceField, NumberField } from './Field.tsx';
import { foldGroup, openGroups } from './folding.ts';
import { SmoothingFields, smoothingWords } from './SmoothingFields.tsx';

/** Every setting of the candidate under edit. The two that the job turns on are open, the others fold. */
export function SettingsPanel() {
  const candidate = editedCandidate.value;
  return (
    <>
      <CandidateBar />
      <Group title="Power-off guard" hue="guard">
        <NumberField path="guard.speedDps" />
        <NumberField path="guard.holdMs" />
        <NumberField path="guard.releaseRatio" />
        <ChoiceField
          path="guard.decideAt"
          choices={[
            ['press', 'it goes down'],
            ['release', 'it is let go'],
          ]}
        />
      </Group>
      <Group title="Swing deflection" hue="deflection">
        <NumberField path="deflection.speedDps" />
        <NumberField
          path="deflection.rearmRatio"
          note={`${Math.round(candidate.deflection.rearmRatio * candidate.deflection.speedDps)} °/s`}
        />
        <NumberField path="deflection.restMs" />
        <NumberField path="deflection.confirmMs" />
      </Group>
      <Folded title="Smoothing" hue="ink" summary={smoothingWords(candidate.smoothing)}>
        <SmoothingFields kind={candidate.smoothing.kind} />
      </Folded>
      <Folded title="Stab" hue="stab" summary={`${candidate.stab.thrustG} g, then a hit`}>
        <NumberField path="stab.thrustG" />
        <NumberField path="stab.sustainMs" />
        <NumberField path="stab.quietDps" />
        <NumberField path="stab.quietBeforeMs" />
        <NumberField path="stab.windowMs" />
        <NumberField path="stab.untilHitDps" />
        <NumberField
          path="stab.hitRatio"
          note={`${Number(stabHitSettings(candidate.stab, candidate.impact).impactG.toFixed(2))} g`}
        />
      </Folded>
      <Folded
        title="Twist"
        hue="twist"
        summary={`${candidate.twist.angleDeg}°, dial ${candidate.twist.degPerStep}° a step`}
      >
        <NumberField path="twist.angleDeg" />
        <NumberField path="twist.windowMs" />
        <NumberField path="twist.quietDps" />
        <NumberField path="twist.degPerStep" />
        <ChoiceField
          path="twist.startAt"
          choices={[
            ['rest', 'the last rest'],
            ['hold', 'a button going down'],
            ['takeStart', 'the take’s start'],
          ]}
        />
      </Folded>
      <Folded title="Impact" hue="impact" summary={`${candidate.impact.impactG} g`}>
        <NumberField path="impact.impactG" />
        <NumberField path="impact.allowanceGPer100Dps" />
        <NumberField path="impact.restMs" />
        <NumberField path="impact.highPassHz" />
      </Folded>
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
