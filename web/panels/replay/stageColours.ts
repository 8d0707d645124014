import { DETECTOR_IDS } from '../../../server/engine/detect/detectors.ts';

const NAMES = ['ink', 'paper', 'quiet', 'rule', 'bad', 'lit', 'glow', ...DETECTOR_IDS] as const;

export type StageColours = Readonly<Record<(typeof NAMES)[number], string>>;

/** Colours as the style sheet has them on the stage, which is dark in either scheme: it is about light. */
export function stageColours(stage: HTMLElement): StageColours {
  const probe = stage.appendChild(document.createElement('i'));
  const found = NAMES.map((name) => {
    probe.style.color = `var(--${name})`;
    return [name, getComputedStyle(probe).color];
  });
  probe.remove();
  return Object.fromEntries(found) as StageColours;
}
