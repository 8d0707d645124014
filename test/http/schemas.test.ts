import fastify from 'fastify';
import { expect, test } from 'vitest';
import * as schemas from '../../server/http/schemas.ts';

const SCHEMAS = Object.entries(schemas).filter(([name]) => name.endsWith('Schema'));

// The server itself leaves this out, since it would cost every start.
test.each(SCHEMAS)(
  '%s is a schema: it keeps to the meta-schema, without a keyword misspelt',
  async (_name, body) => {
    const app = fastify({ ajv: { customOptions: { validateSchema: true, strict: true, allErrors: true } } });
    app.post('/', { schema: { body } }, async () => null);
    await expect(app.ready()).resolves.toBeDefined();
    await app.close();
  },
);

test.each(SCHEMAS)('%s allows no key that it does not name, at any depth', (name, body) => {
  const open: string[] = [];
  visit(body, name, (schema, path) => {
    if (schema.type === 'object' && schema.properties && schema.additionalProperties !== false)
      open.push(path);
  });
  expect(open).toEqual([]);
});

type Node = Record<string, unknown>;

function visit(node: unknown, path: string, see: (node: Node, path: string) => void): void {
  if (typeof node !== 'object' || node === null) return;
  see(node as Node, path);
  for (const [key, child] of Object.entries(node)) visit(child, `${path}.${key}`, see);
}
