import type { Socket } from 'node:net';
import type { ErrorBody } from './schemas.ts';

/** What comes in is no HTTP at all, so the answer is written by hand; it has the same shape as every other. */
export function answerBadHttp(_error: Error, socket: Socket): void {
  if (socket.writable) {
    const body: ErrorBody = { code: 'BAD_REQUEST', message: 'The request is no well-formed HTTP.' };
    const text = JSON.stringify(body);
    const head = [
      'HTTP/1.1 400 Bad Request',
      'content-type: application/json',
      `content-length: ${text.length}`,
    ];
    socket.write(`${head.join('\r\n')}\r\nconnection: close\r\n\r\n${text}`);
  }
  socket.destroySoon();
}
