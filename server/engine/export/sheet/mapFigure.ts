import { escapeHtml as e } from './escapeHtml.ts';
import type { MapFacts } from './mapFacts.ts';
import { isOnMap, mapSvg } from './mapSvg.ts';
import { shadesOf } from './shades.ts';

/** A map with what its signs mean. */
export function mapFigure(facts: MapFacts, label: string): string {
  return `<figure>${mapSvg(facts, label)}${legend(facts)}</figure>`;
}

function legend(facts: MapFacts): string {
  const { map, margins, suggested } = facts;
  const sign = (drawn: string, name: string) =>
    `<span class="sign"><svg viewBox="0 0 14 10" width="14" height="10" aria-hidden="true">${drawn}</svg> ${e(name)}</span>`;
  const box = (fill: string) =>
    `<rect x="0.5" y="0.5" width="13" height="9" fill="${fill}" stroke="#1d2733" stroke-width="0.5"/>`;
  const signs = [
    ...shadesOf(map.wrong).map(({ fill, name }) => sign(box(fill), name)),
    ...(map.plateau.includes(1) ? [sign('<path class="plateau" d="M1 1H13V9H1Z"/>', 'best region')] : []),
    isOnMap(facts)
      ? sign('<circle class="point" cx="7" cy="5" r="3.5"/>', 'this setting')
      : '<span>this setting lies beyond what was tried</span>',
    ...(margins !== null && isOnMap(facts)
      ? [sign('<path class="margin" d="M1 5H13M1 1V9M13 1V9"/>', 'room, the other value staying')]
      : []),
    ...(suggested === null
      ? []
      : [sign('<path class="other" d="M7 0.5L11.5 5L7 9.5L2.5 5Z"/>', 'suggested')]),
  ];
  return `<p class="legend"><span>wrong of ${map.of}:</span> ${signs.join(' ')}</p>`;
}
