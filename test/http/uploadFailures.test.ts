import { describeRefusals, INVALID, type Refusal } from './refusals.ts';

const preview = (overrides: unknown): Pick<Refusal, 'method' | 'url' | 'body'> => ({
  method: 'POST',
  url: '/api/previews',
  body: { uploadIds: ['UPLOAD'], overrides },
});

const mappingWith = (delimiter: string) => ({
  files: [
    {
      name: 'a.csv',
      delimiter,
      decimal: '.',
      headerLine: 1,
      firstDataLine: 2,
      comment: null,
      columnCount: 7,
    },
  ],
  columns: [],
  rateHz: null,
  rateReason: '',
  mount: { tip: '+x', side: '+y' },
  mountReason: '',
});

describeRefusals('uploads', {
  'an unknown upload': { method: 'DELETE', url: '/api/uploads/none', status: 404, code: 'UPLOAD_NOT_FOUND' },
  'an upload that walks out': { method: 'DELETE', url: '/api/uploads/..%2Ftakes', ...INVALID },
  'an upload without a name': {
    method: 'POST',
    url: '/api/uploads',
    headers: { 'content-type': 'application/octet-stream' },
    body: 'x',
    ...INVALID,
    says: 'name',
  },
  'an upload with a word too much': {
    method: 'POST',
    url: '/api/uploads?name=a&to=b',
    headers: { 'content-type': 'application/octet-stream' },
    body: 'x',
    ...INVALID,
    says: '"to"',
  },
  'an upload as JSON': {
    method: 'POST',
    url: '/api/uploads?name=a',
    body: {},
    status: 415,
    code: 'MEDIA_TYPE',
  },
  'an upload as a form': {
    method: 'POST',
    url: '/api/uploads?name=a',
    headers: { 'content-type': 'multipart/form-data; boundary=x' },
    body: '--x--',
    status: 415,
    code: 'MEDIA_TYPE',
  },
});

describeRefusals('jobs', {
  'an unknown job': { method: 'GET', url: '/api/jobs/none', status: 404, code: 'JOB_NOT_FOUND' },
  'stopping an unknown job': { method: 'DELETE', url: '/api/jobs/none', status: 404, code: 'JOB_NOT_FOUND' },
});

describeRefusals('previews and new takes', {
  'a preview without uploads': {
    method: 'POST',
    url: '/api/previews',
    body: { uploadIds: [], overrides: {} },
    ...INVALID,
    says: 'body/uploadIds',
  },
  'a preview of one upload twice': {
    method: 'POST',
    url: '/api/previews',
    body: { uploadIds: ['a', 'a'], overrides: {} },
    ...INVALID,
  },
  'a preview of an id that walks out': {
    method: 'POST',
    url: '/api/previews',
    body: { uploadIds: ['../x'], overrides: {} },
    ...INVALID,
  },
  'an override of an unknown name': { ...preview({ rate: 100 }), ...INVALID, says: '"rate"' },
  'a rate as text': { ...preview({ rateHz: '100' }), ...INVALID, says: 'body/overrides/rateHz' },
  'a rate of nothing': { ...preview({ rateHz: null }), ...INVALID },
  'a rate of zero': { ...preview({ rateHz: 0 }), ...INVALID },
  'an unknown role': {
    ...preview({ roles: [{ file: 0, index: 0, role: 'magX' }] }),
    ...INVALID,
    says: 'gyroX',
  },
  'an unknown axis': { ...preview({ mount: { tip: 'x', side: '+y' } }), ...INVALID, says: '+x' },
  'a take whose delimiter is a line break': {
    method: 'POST',
    url: '/api/takes',
    body: { uploadIds: ['a'], title: '', performer: '', drill: '', mapping: mappingWith('\n') },
    ...INVALID,
    says: 'body/mapping/files/0/delimiter',
  },
  'a take whose delimiter is two characters': {
    method: 'POST',
    url: '/api/takes',
    body: { uploadIds: ['a'], title: '', performer: '', drill: '', mapping: mappingWith(', ') },
    ...INVALID,
    says: 'body/mapping/files/0/delimiter',
  },
  'a take without a mapping': {
    method: 'POST',
    url: '/api/takes',
    body: { uploadIds: ['a'], title: '', performer: '', drill: '' },
    ...INVALID,
    says: 'mapping',
  },
});
