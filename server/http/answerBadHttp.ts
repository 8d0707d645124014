import { maxHeaderSize } from 'node:http';
import type { Socket } from 'node:net';
import type { ErrorBody } from './schemas.ts';

type Answer = readonly [status: string, body: ErrorBody];

const NO_HTTP: Answer = [
  '400 Bad Request',
  { code: 'BAD_REQUEST', message: 'The request is not well-formed HTTP.' },
];
/** By the code of Node's own parser, or of its server. */
const ANSWERS: Readonly<Record<string, Answer>> = {
  HPE_HEADER_OVERFLOW: [
    '431 Request Header Fields Too Large',
    {
      code: 'HEADERS_TOO_LONG',
      message: `The request’s headers are longer than the ${maxHeaderSize / 1024} KiB that are taken here.`,
    },
  ],
  ERR_HTTP_REQUEST_TIMEOUT: [
    '408 Request Timeout',
    { code: 'TOO_SLOW', message: 'The request took too long to arrive. Send it again.' },
  ],
};

/** What comes in is no HTTP at all, so the answer is written by hand; it has the same shape as every other. */
export function answerBadHttp(error: Error & { readonly code?: string }, socket: Socket): void {
  if (socket.writable) {
    const [status, body] = ANSWERS[error.code ?? ''] ?? NO_HTTP;
    const text = JSON.stringify(body);
    const head = [
      `HTTP/1.1 ${status}`,
      'content-type: application/json',
      `content-length: ${Buffer.byteLength(text)}`,
    ];
    socket.write(`${head.join('\r\n')}\r\nconnection: close\r\n\r\n${text}`);
  }
  socket.destroySoon();
}
