import type { Candidate } from '../server/engine/settings/candidate.ts';
import type {
  ArchiveOffer,
  ArchivePlan,
  CandidatesDocument,
  DocumentsBody,
  JobBody,
  NewRecordingBody,
  NewSettingBody,
  NewTakeBody,
  PatchTakeBody,
  PreviewRequestBody,
  PutSettingBody,
  RecordingsBody,
  RemovedTakes,
  RereadBody,
  SettingsBody,
  StoredSetting,
  TakeDocument,
  TakeOverview,
  TakePreviewBody,
  UploadBody,
  WorkspaceBody,
} from '../server/http/schemas.ts';

/** The server's refusal in its own words, fit to be shown. */
export class ApiError extends Error {
  readonly code: string;
  readonly status: number;
  constructor(code: string, message: string, status: number) {
    super(message);
    this.code = code;
    this.status = status;
  }
}

export const fetchWorkspace = (): Promise<WorkspaceBody> => ask('GET', '/api/workspace');
export const fetchTake = (id: string): Promise<TakeDocument> => ask('GET', `/api/takes/${id}`);
/** Of many takes at once; those that cannot be read are missing. */
export const fetchTakes = (ids: readonly string[]): Promise<DocumentsBody> =>
  ask('GET', `/api/documents?ids=${ids.join()}`);
export const patchTake = (id: string, body: PatchTakeBody): Promise<TakeDocument> =>
  ask('PATCH', `/api/takes/${id}`, body);
export const deleteTake = (id: string): Promise<void> => ask('DELETE', `/api/takes/${id}`);
export const restoreTake = (id: string): Promise<TakeDocument> => ask('POST', `/api/takes/${id}/restore`);
export const fetchRemoved = (): Promise<RemovedTakes> => ask('GET', '/api/trash');
export const putCandidates = (revision: number, a: Candidate, b: Candidate): Promise<CandidatesDocument> =>
  ask('PUT', '/api/candidates', { revision, a, b });
export const startDemo = (): Promise<{ jobId: string }> => ask('POST', '/api/demo');
export const fetchSettings = (): Promise<SettingsBody> => ask('GET', '/api/settings');
export const addSetting = (body: NewSettingBody): Promise<StoredSetting> =>
  ask('POST', '/api/settings', body);
export const importSetting = (text: string): Promise<StoredSetting> =>
  ask('POST', '/api/settings/files', { text });
export const putSetting = (id: string, body: PutSettingBody): Promise<StoredSetting> =>
  ask('PUT', `/api/settings/${id}`, body);
export const deleteSetting = (id: string): Promise<void> => ask('DELETE', `/api/settings/${id}`);
export const restoreSetting = (id: string): Promise<StoredSetting> =>
  ask('POST', `/api/settings/${id}/restore`);
export const sheetAddress = (id: string): string => `/api/settings/${id}/sheet`;
export const startPreview = (body: PreviewRequestBody): Promise<{ jobId: string }> =>
  ask('POST', '/api/previews', body);
export const startTake = (body: NewTakeBody): Promise<{ jobId: string }> => ask('POST', '/api/takes', body);
export const startTakePreview = (id: string, body: TakePreviewBody): Promise<{ jobId: string }> =>
  ask('POST', `/api/takes/${id}/previews`, body);
export const startReread = (id: string, body: RereadBody): Promise<{ jobId: string }> =>
  ask('POST', `/api/takes/${id}/read`, body);
export const offerArchive = (takeIds: readonly string[] | null): Promise<ArchiveOffer> =>
  ask('POST', '/api/archives/offers', { takeIds });
export const archiveAddress = (archiveId: string): string => `/api/archives/${archiveId}`;
export const planArchive = (uploadId: string): Promise<ArchivePlan> =>
  ask('POST', '/api/archives/plans', { uploadId });
export const startArchive = (uploadId: string): Promise<{ jobId: string }> =>
  ask('POST', '/api/archives', { uploadId });
export const discardUpload = (id: string): Promise<void> => ask('DELETE', `/api/uploads/${id}`);
export const forgetMapping = (id: string): Promise<void> => ask('DELETE', `/api/mappings/${id}`);
export const fetchRecordings = (): Promise<RecordingsBody> => ask('GET', '/api/recordings');
export const stopRecording = (id: string): Promise<void> => ask('POST', `/api/recordings/${id}/stop`);
export const deleteRecording = (id: string): Promise<void> => ask('DELETE', `/api/recordings/${id}`);
export const startRecording = (body: NewRecordingBody): Promise<{ id: string }> =>
  ask('POST', '/api/recordings', body);
/** That the device of a recording went away, or came back. */
export const tellOfDevice = (id: string, what: 'lost' | 'back'): Promise<void> =>
  ask('POST', `/api/recordings/${id}/${what}`);
export const liveAddress = (id: string): string => `/api/recordings/${id}/live`;
export const sourceAddress = (id: string, index: number): string => `/api/takes/${id}/source/${index}`;

/** Columns of so many bytes are those of a take that the page would not hold twice. */
const SHARED_BYTES = 8e6;

/**
 * The bytes of a take's columns, those of a long one in memory that threads share, where the browser lets them. Not from the
 * browser's cache: the server is as near, and a hundred takes fill it.
 */
export async function fetchColumns(id: string): Promise<ArrayBufferLike> {
  const response = await reach(`/api/takes/${id}/columns`, { cache: 'no-store' });
  if (!response.ok) throw await errorOf(response);
  const sizeBytes = Number(response.headers.get('content-length'));
  if (!globalThis.crossOriginIsolated || !(sizeBytes >= SHARED_BYTES)) return response.arrayBuffer();
  const bytes = new Uint8Array(new SharedArrayBuffer(sizeBytes));
  let at = 0;
  for (const reader = response.body!.getReader(); ; ) {
    const { done, value } = await reader.read();
    if (done) return bytes.buffer;
    bytes.set(value, at);
    at += value.length;
  }
}

export const fetchOverview = (id: string): Promise<TakeOverview> => ask('GET', `/api/takes/${id}/overview`);

/** What came of a recording since the last call; nothing says that the page is still there. */
export async function sendBytes(id: string, bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  const headers = { 'content-type': 'application/octet-stream' };
  const response = await reach(`/api/recordings/${id}/bytes`, { method: 'POST', headers, body: bytes });
  if (!response.ok) throw await errorOf(response);
}

/** The log of a recording as far as it went. */
export async function fetchRecordingLog(id: string): Promise<Blob> {
  const response = await reach(`/api/recordings/${id}/log`, { cache: 'no-store' });
  if (!response.ok) throw await errorOf(response);
  return response.blob();
}

/** Sends a file as it is; XMLHttpRequest, because fetch tells nothing of an upload's progress. */
export function upload(
  file: File,
  onProgress: (fraction: number) => void,
  signal: AbortSignal,
): Promise<UploadBody> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', `/api/uploads?name=${encodeURIComponent(file.name)}`);
    request.setRequestHeader('content-type', 'application/octet-stream');
    request.responseType = 'text';
    request.upload.onprogress = (event) => onProgress(event.loaded / Math.max(1, event.total));
    request.onload = () => {
      if (request.status === 201) resolve(JSON.parse(request.responseText));
      else reject(errorFrom(request.status, request.responseText));
    };
    request.onerror = () => reject(new ApiError('OFFLINE', OFFLINE, 0));
    request.onabort = () => reject(new DOMException('stopped', 'AbortError'));
    signal.addEventListener('abort', () => request.abort(), { once: true });
    request.send(file);
  });
}

/** Waits for a job, telling its progress; an abort cancels the job on the server too. */
export async function awaitJob(
  jobId: string,
  onProgress: (fraction: number) => void,
  signal: AbortSignal,
): Promise<unknown> {
  for (let wait = 40; ; wait = Math.min(250, wait * 1.5)) {
    if (signal.aborted) {
      await ask('DELETE', `/api/jobs/${jobId}`).catch(() => {});
      throw new DOMException('stopped', 'AbortError');
    }
    const job = await ask<JobBody>('GET', `/api/jobs/${jobId}`);
    onProgress(job.progress);
    if (job.state === 'done') return job.result;
    if (job.state === 'failed')
      throw new ApiError(job.error?.code ?? 'FAILED', job.error?.message ?? 'failed', 422);
    if (job.state === 'cancelled') throw new DOMException('stopped', 'AbortError');
    await new Promise((resolve) => setTimeout(resolve, wait));
  }
}

/** Said whenever nothing comes back at all. */
export const OFFLINE = 'The server does not answer. Is it still running in its terminal?';

async function ask<T>(method: string, path: string, body?: unknown): Promise<T> {
  const init: RequestInit = { method };
  if (body !== undefined) {
    init.body = JSON.stringify(body);
    init.headers = { 'content-type': 'application/json' };
  }
  const response = await reach(path, init);
  if (!response.ok) throw await errorOf(response);
  return (response.status === 204 ? undefined : await response.json()) as T;
}

async function reach(path: string, init?: RequestInit): Promise<Response> {
  try {
    return await fetch(path, init);
  } catch {
    throw new ApiError('OFFLINE', OFFLINE, 0);
  }
}

async function errorOf(response: Response): Promise<ApiError> {
  return errorFrom(response.status, await response.text());
}

function errorFrom(status: number, text: string): ApiError {
  try {
    const { code, message } = JSON.parse(text);
    return new ApiError(String(code), String(message), status);
  } catch {
    return new ApiError('HTTP', `The server answered ${status}.`, status);
  }
}
