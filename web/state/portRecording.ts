import { ApiError, sendBytes, startRecording, stopRecording, tellOfDevice } from '../api.ts';
import { readPort, serialOf } from '../live/serialPort.ts';
import { messageOf, notify } from './notices.ts';
import { endings } from './recordings.ts';

export interface PortRecording {
  readonly baudRate: number;
  readonly title: string;
  readonly performer: string;
}

/** Whether this browser can read serial ports. */
export const HAS_SERIAL = serialOf(navigator) !== null;

/** Asks for a port and records it, until it is stopped on this page or another one. */
export async function recordPort({ baudRate, title, performer }: PortRecording): Promise<void> {
  let id: string | null = null;
  const stop = new AbortController();
  try {
    const port = await serialOf(navigator)!.requestPort();
    const about = { source: 'a serial port of the page', title, performer, drill: '' };
    const recordingId = (await startRecording(about)).id;
    id = recordingId;
    endings.set(recordingId, () => stop.abort());
    const sink = {
      bytes: (chunk: Uint8Array<ArrayBuffer>) => sendBytes(recordingId, chunk),
      lost: () => tellOfDevice(recordingId, 'lost'),
      back: () => tellOfDevice(recordingId, 'back'),
    };
    await readPort(port, baudRate, sink, stop.signal);
  } catch (error) {
    if (!isOrderlyEnd(error)) notify('error', `The port cannot be read: ${messageOf(error)}`);
  } finally {
    if (id !== null) {
      endings.delete(id);
      await stopRecording(id).catch(() => {});
    }
  }
}

/** No port was chosen, or the recording was stopped on another page. */
function isOrderlyEnd(error: unknown): boolean {
  if (error instanceof ApiError) return ['RECORDING_STATE', 'RECORDING_NOT_FOUND'].includes(error.code);
  return error instanceof DOMException && error.name === 'NotFoundError';
}
