import { signal } from '@preact/signals';
import { CAUTIONS } from '../../server/engine/words/cautions.ts';
import { VIEW_FACTS, VIEWS } from '../state/views.ts';
import { Dialog } from './Dialog.tsx';

export const helpIsOpen = signal(false);

const KEYS: readonly [string, string][] = [
  [
    '1 to 9',
    `the views, in their order: ${VIEWS.slice(0, 9)
      .map((id) => VIEW_FACTS[id].name)
      .join(', ')}`,
  ],
  ['N · P', 'next, previous press; ] · [ only those that go wrong'],
  ['W · S · U', 'label it wanted, stray, unsure; the same key again takes the label away'],
  ['J · K', 'next, previous swing, spin or other label of the kind chosen under Labels'],
  ['C · X', 'confirm it; say that it is none, or take it away'],
  [
    'L',
    'label spans by dragging across the staves, or by Enter over the middle, to type its ends; Escape ends it',
  ],
  ['Enter', 'zoom to the chosen press'],
  ['0', 'show the whole take'],
  ['+ · −', 'zoom in, out'],
  ['← · →', 'move the view'],
  ['A · B', 'edit candidate A, B'],
  ['Tab to a line, then ↑ · ↓', 'move a threshold by 1, with Shift by 10'],
  ['Tab to a plot, then ← · →', 'read it place by place, with Shift by 10; in a map ↑ · ↓ too'],
  ['Tab to a replay, then Space', 'play, pause; ← · → turn the view of the blade'],
  [', · . · [ · ]', 'in a replay: one sample back, on; the wrong moment before, the next'],
  ['Escape', 'take a drag back, close a dialog, put a pulled-out panel back'],
  ['Ctrl+Z · Ctrl+Shift+Z', 'undo, redo'],
  ['?', 'this list'],
];

/** The keys, what the mouse does, and the cautions. */
export function HelpDialog() {
  if (!helpIsOpen.value) return null;
  return (
    <Dialog title="Keys and cautions" isText onClose={() => (helpIsOpen.value = false)}>
      <table class="keys">
        <tbody>
          {KEYS.map(([keys, words]) => (
            <tr key={keys}>
              <th scope="row">{keys}</th>
              <td>{words}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p>
        Wheel or pinch zooms about the pointer. Drag across a plot to zoom to that stretch, drag along a time
        axis (or with Shift) to move, double-click to see all. The browser’s Back steps through views and
        takes.
      </p>
      <h3>Cautions</h3>
      <ul>
        {CAUTIONS.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <p class="quiet">
        The demo takes are synthetic: they come from a simulation, no person swung a prop for them.
      </p>
    </Dialog>
  );
}
