import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { describeRefusals, INVALID } from './refusals.ts';

const A = DEFAULT_CANDIDATE;
const badGuard = (guard: object): unknown => ({
  revision: 0,
  a: { ...A, guard: { ...A.guard, ...guard } },
  b: A,
});

describeRefusals('candidates', {
  'candidates from an old revision': {
    method: 'PUT',
    url: '/api/candidates',
    body: { revision: 3, a: A, b: A },
    status: 409,
    code: 'STORE_CONFLICT',
  },
  'candidates without the second': {
    method: 'PUT',
    url: '/api/candidates',
    body: { revision: 0, a: A },
    ...INVALID,
    says: "'b'",
  },
  'candidates with a third': {
    method: 'PUT',
    url: '/api/candidates',
    body: { revision: 0, a: A, b: A, c: A },
    ...INVALID,
    says: '"c"',
  },
  'a candidate that is a list': {
    method: 'PUT',
    url: '/api/candidates',
    body: { revision: 0, a: [], b: A },
    ...INVALID,
    says: 'body/a',
  },
  'a candidate out of bounds': {
    method: 'PUT',
    url: '/api/candidates',
    body: badGuard({ speedDps: -1 }),
    status: 422,
    code: 'CANDIDATE',
    says: 'guard.speedDps',
  },
  'a candidate with text for a number': {
    method: 'PUT',
    url: '/api/candidates',
    body: badGuard({ holdMs: '200' }),
    status: 422,
    code: 'CANDIDATE',
    says: 'guard.holdMs',
  },
  'a candidate with null for a number': {
    method: 'PUT',
    url: '/api/candidates',
    body: badGuard({ holdMs: null }),
    status: 422,
    code: 'CANDIDATE',
  },
  'a candidate with a key too much': {
    method: 'PUT',
    url: '/api/candidates',
    body: badGuard({ hold: 1 }),
    status: 422,
    code: 'CANDIDATE',
    says: 'guard.hold',
  },
});
