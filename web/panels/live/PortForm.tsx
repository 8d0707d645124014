import { useState } from 'preact/hooks';
import { recordPort } from '../../state/portRecording.ts';

const BAUDS = [9600, 38_400, 57_600, 115_200, 230_400, 460_800, 921_600, 1_000_000, 2_000_000];

/** Records a serial port that the browser reads. */
export function PortForm() {
  const [baudRate, setBaudRate] = useState(115_200);
  const [performer, setPerformer] = useState('');
  const begin = (): void => {
    const title = `Recording of ${new Date().toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' })}`;
    void recordPort({ baudRate, title, performer });
  };
  return (
    <>
      <p>Or let this page read the prop’s serial port. Keep the page open while it does.</p>
      <p class="port-form">
        <label>
          Performer{' '}
          <input
            type="text"
            maxLength={200}
            value={performer}
            onInput={(event) => setPerformer(event.currentTarget.value)}
          />
        </label>
        <label>
          Baud{' '}
          <select
            value={String(baudRate)}
            onChange={(event) => setBaudRate(Number(event.currentTarget.value))}
          >
            {BAUDS.map((baud) => (
              <option key={baud} value={String(baud)}>
                {baud}
              </option>
            ))}
          </select>
        </label>
        <button type="button" class="main" onClick={begin}>
          Record from a port…
        </button>
      </p>
    </>
  );
}
