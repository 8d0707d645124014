import type { FastifyRequest } from 'fastify';
import { ForbiddenError } from './errors.ts';

/** Names of hosts are the same in capitals. */
const LOCAL_HOST = /^(localhost|127\.0\.0\.1|\[::1\])(:[0-9]{1,5})?$/i;

/**
 * Lets only this machine's own page through: a page elsewhere can make a browser send requests here, under a name of
 * its own that leads to this machine (Host) or straight to it (Origin).
 * @throws ForbiddenError
 */
export function guardRequest({ headers }: Pick<FastifyRequest, 'headers'>): void {
  const { host, origin } = headers;
  if (host === undefined || !LOCAL_HOST.test(host)) {
    throw new ForbiddenError('FORBIDDEN_HOST', 'Open the page as http://localhost or http://127.0.0.1.');
  }
  if (origin !== undefined && origin.toLowerCase() !== `http://${host.toLowerCase()}`) {
    throw new ForbiddenError('FORBIDDEN_ORIGIN', 'Another page may not use this server.');
  }
}

/** Sent with every answer. */
export const SECURITY_HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': [
    "default-src 'self'",
    "img-src 'self' data: blob:",
    "worker-src 'self' blob:",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
    "object-src 'none'",
  ].join('; '),
  // With the policy of openers, what lets the browser share memory between the page and its threads.
  'cross-origin-embedder-policy': 'require-corp',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
};
