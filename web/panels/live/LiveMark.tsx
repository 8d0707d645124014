import { runningRecording } from '../../state/recordings.ts';

/** Says beside the view's name that something is being recorded. */
export function LiveMark() {
  if (!runningRecording.value) return null;
  return (
    <svg class="live-mark" width="10" height="10" viewBox="-5 -5 10 10" role="img" aria-label="recording">
      <circle r="4" />
    </svg>
  );
}
