/** Small faults that a test should notice, found in a source's syntax tree. */
import { parseSync } from 'vite';

const BOUNDARIES = { '<': '<=', '<=': '<', '>': '>=', '>=': '>' };
const OPPOSITES = { '<': '>=', '<=': '>', '>': '<=', '>=': '<', '===': '!==', '!==': '===' };
const ARITHMETIC = { '+': '-', '-': '+', '*': '/', '/': '*', '%': '*' };
const LOGIC = { '&&': '||', '||': '&&' };
const EXTREMES = { min: 'max', max: 'min' };

/** All of a source's mutants: `{ kind, line, start, end, text }`, where `text` replaces the characters from start to end. */
export function mutantsOf(path, source) {
  const found = [];
  const add = (kind, start, end, text) => {
    const line = source.slice(0, start).split('\n').length;
    found.push({ path, kind, line, start, end, text, was: source.slice(start, end) });
  };
  visit(parseSync(path, source).program, (node) => mutateNode(node, source, add));
  return found;
}

function mutateNode(node, source, add) {
  switch (node.type) {
    case 'BinaryExpression':
    case 'LogicalExpression':
    case 'AssignmentExpression': {
      const operator = node.operator.replace(/(?<=^[-+*/%])=$/, '');
      const from = source.indexOf(node.operator, node.left.end);
      const swap = (kind, table) =>
        table[operator] && add(kind, from, from + operator.length, table[operator]);
      swap('boundary', BOUNDARIES);
      swap('comparison', OPPOSITES);
      swap('arithmetic', ARITHMETIC);
      swap('logic', LOGIC);
      break;
    }
    case 'UnaryExpression':
      if (node.operator === '!' || node.operator === '-') add('sign', node.start, node.start + 1, '');
      break;
    case 'Literal':
      if (typeof node.value === 'number') add('constant', node.start, node.end, changed(node.value));
      if (typeof node.value === 'boolean') add('constant', node.start, node.end, String(!node.value));
      break;
    case 'IfStatement':
      add('condition', node.test.start, node.test.end, 'false');
      add('condition', node.test.start, node.test.end, 'true');
      break;
    case 'MemberExpression':
      if (node.object.name === 'Math' && EXTREMES[node.property.name])
        add('extreme', node.property.start, node.property.end, EXTREMES[node.property.name]);
      break;
    case 'ExpressionStatement':
    case 'ContinueStatement':
      add('removed', node.start, node.end, ';');
      break;
  }
}

/** A constant off by one where it is whole, by a quarter where it is not. */
function changed(value) {
  return String(Number.isInteger(value) ? value + 1 : value * 1.25);
}

/** Every node that is there when the types are gone. */
function visit(node, look) {
  if (Array.isArray(node)) for (const one of node) visit(one, look);
  if (typeof node?.type !== 'string') return;
  const isWrapper = /^TS(As|NonNull|Satisfies)/.test(node.type);
  if (node.type.startsWith('Import') || (node.type.startsWith('TS') && !isWrapper)) return;
  look(node);
  for (const child of Object.values(node))
    if (child !== null && typeof child === 'object') visit(child, look);
}
