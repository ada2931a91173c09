/** Requests of every kind, made from the contract that the service serves: right, changed in places, and hostile. */
import type { Chance } from './chance.ts';
import type { Operation } from './contract.ts';

export interface Request {
  readonly operation: Operation | undefined;
  readonly method: string;
  readonly path: string;
  readonly headers: { readonly [name: string]: string };
  readonly body: Buffer | undefined;
}

/** Values at the edges of what JSON can say, and words that mean something to a program. */
const EDGES: readonly unknown[] = [
  null,
  true,
  false,
  0,
  -0,
  1,
  -1,
  0.1,
  1e308,
  -1e308,
  5e-324,
  2 ** 53,
  2 ** 53 + 1,
  1e21,
  '',
  ' ',
  'both',
  'left',
  'body',
  'hips-low',
  'head-held-high',
  'constructor',
  'toString',
  '\ud800',
  'a\u0000b',
  '\u202e',
  '../../etc',
  '<script>',
  "' or 1=1",
  '$.a',
  '{{7*7}}',
  'é'.normalize('NFD'),
  '💧'.repeat(50),
  'a'.repeat(3000),
  '2026-02-30',
  '9999-12-31T23:59:60Z',
  [],
  {},
  [[]],
  [null],
  { a: 1 },
];
const NAMES = [
  'extra',
  'constructor',
  'toString',
  'hasOwnProperty',
  '',
  'severity',
  'code',
  'value',
  'ruleSet',
  '💧',
];

type Place = readonly (string | number)[];

function placesIn(value: unknown, at: Place, out: Place[]): void {
  out.push(at);
  if (out.length > 400 || value === null || typeof value !== 'object') return;
  for (const key of Array.isArray(value) ? value.keys() : Object.keys(value))
    placesIn((value as never)[key], [...at, key], out);
}

/** The value with one place replaced, removed, repeated, or given a field more. */
function changed(value: unknown, chance: Chance): unknown {
  const places: Place[] = [];
  placesIn(value, [], places);
  const at = chance.pick(places);
  if (at.length === 0) return chance.pick(EDGES);
  const copy = structuredClone(value);
  let parent = copy as never as { [key: string]: unknown };
  for (const key of at.slice(0, -1)) parent = parent[key as string] as typeof parent;
  const last = at.at(-1) as string;
  switch (chance.below(5)) {
    case 0:
      if (Array.isArray(parent)) parent.splice(Number(last), 1);
      else delete parent[last];
      break;
    case 1:
      if (Array.isArray(parent)) parent.push(structuredClone(parent[Number(last)]));
      else Object.defineProperty(parent, chance.pick(NAMES), { value: chance.pick(EDGES), enumerable: true });
      break;
    case 2:
      // the same type, another size
      parent[last] =
        typeof parent[last] === 'number'
          ? chance.pick(EDGES.filter((e) => typeof e === 'number'))
          : typeof parent[last] === 'string'
            ? chance.pick(EDGES.filter((e) => typeof e === 'string'))
            : chance.pick(EDGES);
      break;
    default:
      parent[last] = chance.pick(EDGES);
  }
  return copy;
}

/** Next looks cost ten times as much as all the rest: they are asked for in one of twenty. */
function withoutLooks(value: unknown, chance: Chance): unknown {
  if (chance.often(0.05) || value === null || typeof value !== 'object' || Array.isArray(value)) return value;
  const record = value as {
    options?: object;
    records?: unknown[];
    members?: unknown[];
    observations?: unknown;
  };
  if (Array.isArray(record.members))
    return { ...record, members: record.members.map((m) => withoutLooks(m, chance)) };
  if (!('observations' in record) && !('swimmer' in record)) return value;
  return { ...record, options: { ...record.options, nextLooks: 0 } };
}

/** Texts that are no right body of anything. */
function hostile(good: string, chance: Chance): Buffer {
  const depth = 1 + chance.below(3000);
  const texts: (() => string | Buffer)[] = [
    () => '',
    () => good.slice(0, chance.below(good.length + 1)),
    () => `${good}${good}`,
    () => `\ufeff${good}`,
    () => '['.repeat(depth) + ']'.repeat(depth),
    () => `${'{"a":'.repeat(depth)}1${'}'.repeat(depth)}`,
    () => `{"__proto__":${good}}`,
    () => `{"swimmer":{"level":"novice","constructor":{"prototype":{"a":1}}}}`,
    () => good.replace(/^\{/, '{"swimmer":1,"swimmer":{"level":"novice"},'),
    () => `"${'a'.repeat(chance.below(200_000))}"`,
    () => `[${'0,'.repeat(chance.below(50_000))}0]`,
    () => good.replace(/\d+/g, '1e999'),
    () => good.replace(/:/g, ' = '),
    () => 'NaN',
    () => '{"swimmer":{"level":"\\ud800"}}',
    () => Buffer.from(good, 'utf16le'),
    () => Buffer.from([0xff, 0xfe, 0x7b, 0x80, 0x7d]),
    () =>
      Buffer.concat([
        Buffer.from(good.slice(0, good.length / 2)),
        Buffer.from([0xc3, 0x28]),
        Buffer.from(good.slice(good.length / 2)),
      ]),
    () => 'a,b;c\n"1,2\n',
    () => `${'x'.repeat(1_048_577)}`,
  ];
  const text = chance.pick(texts)();
  return typeof text === 'string' ? Buffer.from(text) : text;
}

const TYPES = [
  'application/json',
  'application/json; charset=utf-8',
  'application/json; charset=latin1',
  'text/plain',
  'text/csv',
  'application/x-ndjson',
  'application/xml',
  'multipart/form-data',
  '*/*',
  '',
];
const HEADERS: readonly { readonly [name: string]: string }[] = [
  {},
  {},
  {},
  {},
  { accept: 'text/html' },
  { accept: 'text/markdown' },
  { accept: 'image/png' },
  { accept: 'application/json;q=0.1, text/html' },
  { accept: ';;;' },
  { prefer: 'return=minimal' },
  { prefer: 'return=maximal; x=1' },
  { 'content-encoding': 'gzip' },
  { 'content-encoding': 'br' },
  { 'if-none-match': '*' },
  { 'if-none-match': '"sha-256:0"' },
  { authorization: 'Bearer x' },
  { origin: 'https://elsewhere.example' },
  { 'x-request-id': 'a'.repeat(4000) },
  { cookie: 'a=b' },
];
const QUERIES = [
  '?audience=swimmer',
  '?audience=nobody',
  '?audience=coach&audience=swimmer',
  '?order=any',
  '?order=x',
  '?q=elbow',
  '?views=side-under',
  '?views=x',
  '?%zz',
  '?__proto__=1',
  `?q=${'a'.repeat(2000)}`,
  '?lanes=3&minutes=60',
  '?lanes=-1',
];
const PATHS = [
  '/',
  '//',
  '/v1',
  '/v1/assessments/',
  '/v1/assessments/1',
  '/v1//assessments',
  '/%2e%2e/',
  '/..%2f..%2fetc/passwd',
  '/docs/../package.json',
  '/constructor',
  '/%00',
  '/%ff',
  `/${'a'.repeat(3000)}`,
  '/V1/assessments',
  '/v1/rule-sets/front-crawl/1.0.0/constructor',
  '/problems/__proto__',
];
const METHODS = ['GET', 'HEAD', 'POST', 'PUT', 'PATCH', 'DELETE', 'OPTIONS'];

/** Values of the names in a path: those that exist, and others. */
const PARAMETERS: { readonly [name: string]: readonly string[] } = {
  name: ['front-crawl', 'front-crawl', 'short-backstroke', 'nothing', 'constructor', '%20'],
  version: ['1.0.0', '1.0.0', '9.9.9', 'x', '*'],
  part: ['causes', 'drills', 'texts', 'glossary', 'nothing', '__proto__'],
  slug: ['not-found', 'invalid-request', 'lint-no-case', 'nothing', 'toString'],
};

export function requestOf(operations: readonly Operation[], chance: Chance): Request {
  if (chance.often(0.04)) {
    const path = chance.pick(PATHS);
    return { operation: undefined, method: chance.pick(METHODS), path, headers: {}, body: undefined };
  }
  const dear = chance.often(0.01);
  const own = operations.filter((o) => o.path.startsWith('/v1/drafts') === dear);
  // one in three is the operation that everybody uses
  const operation =
    !dear && chance.often(0.33) ? (own.find((o) => o.id === 'assess') as Operation) : chance.pick(own);
  const path = operation.path.replace(/\{(\w+)\}/g, (_, name: string) =>
    chance.pick(PARAMETERS[name] as string[]),
  );
  const query = chance.often(0.2) ? chance.pick(QUERIES) : '';
  const method = chance.often(0.04) ? chance.pick(METHODS) : operation.method;
  const headers = chance.often(0.3) ? chance.pick(HEADERS) : {};
  if (operation.examples.length === 0 || method === 'GET' || method === 'HEAD')
    return {
      operation: method === operation.method ? operation : undefined,
      method,
      path: path + query,
      headers,
      body: undefined,
    };
  const { type, value } = chance.pick(operation.examples);
  const right = typeof value === 'string' ? value : withoutLooks(value, chance);
  const kind = chance.below(10);
  const altered =
    typeof right === 'string' || kind < 3
      ? right
      : Array.from({ length: 1 + chance.below(3) }).reduce((v) => changed(v, chance), right);
  const good = typeof altered === 'string' ? altered : (JSON.stringify(altered) ?? 'null');
  const body = kind > 7 ? hostile(good, chance) : Buffer.from(good);
  const contentType = chance.often(0.06) ? chance.pick(TYPES) : type;
  return {
    operation: method === operation.method ? operation : undefined,
    method,
    path: path + query,
    headers: { ...(contentType === '' ? {} : { 'content-type': contentType }), ...headers },
    body,
  };
}
