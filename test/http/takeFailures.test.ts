import { describeRefusals, INVALID, type Refusal } from './refusals.ts';

const patch = (body: unknown): Pick<Refusal, 'method' | 'url' | 'body'> => ({
  method: 'PATCH',
  url: '/api/takes/TAKE',
  body,
});
const press = { downUs: 1, button: 'b', intent: 'stray', by: 'person' };
const labels = (presses: unknown[]): unknown => ({ revision: 0, labels: { presses, spans: [], swings: [] } });
const calibration = {
  mount: { tip: '+x', side: '+y' },
  leverArmM: 0,
  bladeLengthM: 1,
  accelScale: 1,
  bias: 'auto',
};

describeRefusals('takes', {
  'an unknown take': { method: 'GET', url: '/api/takes/none', status: 404, code: 'TAKE_NOT_FOUND' },
  'columns of an unknown take': {
    method: 'GET',
    url: '/api/takes/none/columns',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'a source of an unknown take': {
    method: 'GET',
    url: '/api/takes/none/source/0',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'a source that the take has not': {
    method: 'GET',
    url: '/api/takes/TAKE/source/1',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'reading an unknown take again': {
    method: 'POST',
    url: '/api/takes/none/previews',
    body: {},
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'reading a take again by no mapping': {
    method: 'POST',
    url: '/api/takes/TAKE/read',
    body: { revision: 0, dropsLabels: false },
    ...INVALID,
    says: 'mapping',
  },
  'a source that is no number': { method: 'GET', url: '/api/takes/TAKE/source/-1', ...INVALID },
  'deleting an unknown take': {
    method: 'DELETE',
    url: '/api/takes/none',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'restoring what is not in the trash': {
    method: 'POST',
    url: '/api/takes/none/restore',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'changing an unknown take': {
    method: 'PATCH',
    url: '/api/takes/none',
    body: { revision: 0 },
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'an id that walks out of the workspace': {
    method: 'GET',
    url: '/api/takes/..%2F..%2Fcandidates',
    ...INVALID,
  },
  'an id that walks out, for deleting': { method: 'DELETE', url: '/api/takes/..%2Ftrash', ...INVALID },
  'an id that walks out, for restoring': { method: 'POST', url: '/api/takes/..%2Ftakes/restore', ...INVALID },
  'an id with capitals': { method: 'GET', url: '/api/takes/Take', ...INVALID },
  'an id with a zero byte': { method: 'GET', url: '/api/takes/a%00b', ...INVALID },
});

describeRefusals('changes of a take', {
  'a change that is no JSON': {
    method: 'PATCH',
    url: '/api/takes/TAKE',
    headers: { 'content-type': 'application/json' },
    body: '{"revision":',
    status: 400,
    code: 'BAD_JSON',
  },
  'a change of nothing': {
    method: 'PATCH',
    url: '/api/takes/TAKE',
    headers: { 'content-type': 'application/json' },
    body: '',
    status: 400,
    code: 'BAD_JSON',
  },
  'a change as plain text': {
    method: 'PATCH',
    url: '/api/takes/TAKE',
    headers: { 'content-type': 'text/plain' },
    body: '{"revision":0}',
    status: 415,
    code: 'MEDIA_TYPE',
  },
  'a change that reaches for the prototype': {
    method: 'PATCH',
    url: '/api/takes/TAKE',
    headers: { 'content-type': 'application/json' },
    body: '{"revision":0,"__proto__":{"isDemo":true}}',
    status: 400,
    code: 'BAD_JSON',
  },
  'a change larger than is taken': {
    ...patch({ revision: 0, notes: 'x'.repeat(9_000_000) }),
    status: 413,
    code: 'BODY_TOO_LARGE',
  },
  'a change without a revision': { ...patch({ title: 'x' }), ...INVALID, says: 'revision' },
  'a change from an old revision': { ...patch({ revision: 7 }), status: 409, code: 'STORE_CONFLICT' },
  'a revision as text, which is not made a number': {
    ...patch({ revision: '0' }),
    ...INVALID,
    says: 'body/revision',
  },
  'a revision that is true, which is not made 1': { ...patch({ revision: true }), ...INVALID },
  'a revision of null, which is not made 0': { ...patch({ revision: null }), ...INVALID },
  'a title that is a number, which is not made text': { ...patch({ revision: 0, title: 5 }), ...INVALID },
  'a misspelt key, which is not dropped': {
    ...patch({ revision: 0, titel: 'x' }),
    ...INVALID,
    says: '"titel"',
  },
  'a key that only the server may set': {
    ...patch({ revision: 0, isDemo: true }),
    ...INVALID,
    says: '"isDemo"',
  },
  'a label with a key too much': {
    ...patch(labels([{ ...press, why: '' }])),
    ...INVALID,
    says: 'body/labels/presses/0',
  },
  'a label of an unknown intent': {
    ...patch(labels([{ ...press, intent: 'maybe' }])),
    ...INVALID,
    says: 'wanted, stray, unsure',
  },
  'a label at half a microsecond': { ...patch(labels([{ ...press, downUs: 0.5 }])), ...INVALID },
  'a label before the take': { ...patch(labels([{ ...press, downUs: -1 }])), ...INVALID },
  'a gesture of an unknown kind': {
    ...patch({
      revision: 0,
      labels: {
        presses: [],
        spans: [],
        swings: [],
        gestures: [{ startUs: 0, endUs: 1, kind: 'cut', by: 'person' }],
      },
    }),
    ...INVALID,
    says: 'thrust, hit, twist',
  },
  'a blade without length': {
    ...patch({ revision: 0, calibration: { ...calibration, bladeLengthM: 0 } }),
    ...INVALID,
    says: 'bladeLengthM',
  },
  'a mount of one axis': {
    ...patch({ revision: 0, calibration: { ...calibration, mount: { tip: '+x', side: '-x' } } }),
    status: 422,
    code: 'TAKE_CHANGE',
    says: 'mount',
  },
  'a button that the take has not': {
    ...patch({ revision: 0, powerButton: 'trigger' }),
    status: 422,
    code: 'TAKE_CHANGE',
    says: 'trigger',
  },
  'a deflection button that the take has not': {
    ...patch({ revision: 0, deflectionButton: 'trigger' }),
    status: 422,
    code: 'TAKE_CHANGE',
    says: 'deflectionButton',
  },
});
