import { useEffect } from 'preact/hooks';
import type { RecordingBody } from '../../../server/http/schemas.ts';
import { followComparison } from '../../state/comparing.ts';
import { HAS_SERIAL } from '../../state/portRecording.ts';
import { answerFor, discardRecording, recordings, runningRecording } from '../../state/recordings.ts';
import { goToTake } from '../../state/session.ts';
import { Fold } from '../Fold.tsx';
import { LiveRecording } from './LiveRecording.tsx';
import { NextDrill } from './NextDrill.tsx';
import { PortForm } from './PortForm.tsx';

/** What is being recorded, as it comes; how to begin, where nothing is; and what waits to become a take. */
export function LiveView() {
  useEffect(() => followComparison('stock'), []);
  const running = runningRecording.value;
  const waiting = recordings.value.recordings.filter(({ state }) => state !== 'running');
  return (
    <div class="live">
      {running ? <LiveRecording key={running.id} recording={running} /> : <HowToBegin />}
      {waiting.map((recording) => (
        <Waiting key={recording.id} recording={recording} />
      ))}
      <JustKept />
      <p class="quiet">
        Swing only in clear space, with eye protection where people are close. A guard is a convenience, no
        safety device.
      </p>
    </div>
  );
}

function HowToBegin() {
  return (
    <section class="card live-card" aria-label="Begin">
      <NextDrill performer={null} />
      <h2>Nothing is being recorded yet</h2>
      <p>
        Plug the prop in and run this in the project’s folder, with your device’s path; on Linux it is often
        /dev/ttyACM0 or /dev/ttyUSB0:
      </p>
      <pre>npm run -s record -- /dev/ttyACM0</pre>
      {HAS_SERIAL && <PortForm />}
      <Fold name="From a file, standard input, or into a workspace of your own">
        <p>
          A file that another program goes on writing can stand in place of the device, or <code>-</code> for
          standard input. With a workspace of your own add <code>--workspace</code> as you did for npm start.
        </p>
      </Fold>
    </section>
  );
}

function Waiting({ recording }: { readonly recording: RecordingBody }) {
  const { id, title, source, questions } = recording;
  return (
    <section class="card live-card" aria-label={title}>
      <h2>{title}</h2>
      {questions.length === 0 ? (
        <p class="quiet">Recorded from {source}. It is being made a take.</p>
      ) : (
        <>
          <p>Recorded from {source}. Before it can be a take:</p>
          <ul>
            {questions.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
          <p class="commands">
            <button type="button" class="main" onClick={() => void answerFor(recording)}>
              Answer, and add it
            </button>
            <button
              type="button"
              onClick={() => {
                if (confirm(`Discard “${title}”? What was recorded is gone then.`)) void discardRecording(id);
              }}
            >
              Discard it
            </button>
          </p>
        </>
      )}
    </section>
  );
}

function JustKept() {
  const [last] = recordings.value.kept;
  if (!last) return null;
  return (
    <p>
      Last recorded: “{last.title}”.{' '}
      <button type="button" class="small" onClick={() => goToTake(last.takeId)}>
        Open it
      </button>
    </p>
  );
}
