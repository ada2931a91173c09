/**
 * What of a new contract would break a program that was written for the old one. A request may ask for less and take more;
 * an answer may say more and must go on saying what it said.
 */
type Json = { readonly [key: string]: unknown };
type Way = 'request' | 'answer';

const isObject = (value: unknown): value is Json =>
  value !== null && typeof value === 'object' && !Array.isArray(value);
const objectOf = (value: unknown): Json => (isObject(value) ? value : {});
const listOf = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : []);

/** Keywords of bounds, and whether a greater number allows less. */
const BOUNDS: readonly (readonly [keyword: string, greaterIsNarrower: boolean])[] = [
  ['minimum', true],
  ['exclusiveMinimum', true],
  ['minLength', true],
  ['minItems', true],
  ['maximum', false],
  ['exclusiveMaximum', false],
  ['maxLength', false],
  ['maxItems', false],
];

class Comparison {
  readonly breaks: string[] = [];
  readonly #seen = new Set<string>();
  readonly #before: Json;
  readonly #after: Json;

  constructor(before: Json, after: Json) {
    this.#before = before;
    this.#after = after;
  }

  #resolve(document: Json, schema: unknown): Json {
    let at = objectOf(schema);
    while (typeof at.$ref === 'string') {
      let target: unknown = document;
      for (const step of at.$ref.slice(2).split('/')) target = objectOf(target)[step];
      at = objectOf(target);
    }
    return at;
  }

  schema(way: Way, place: string, before: unknown, after: unknown): void {
    const key = JSON.stringify([way, objectOf(before).$ref, objectOf(after).$ref]);
    if (objectOf(before).$ref !== undefined && objectOf(after).$ref !== undefined) {
      if (this.#seen.has(key)) return;
      this.#seen.add(key);
    }
    const [old, now] = [this.#resolve(this.#before, before), this.#resolve(this.#after, after)];
    this.#values(way, place, old, now);
    this.#bounds(way, place, old, now);
    this.#fields(way, place, old, now);
    if (isObject(old.items) && isObject(now.items)) this.schema(way, `${place}/items`, old.items, now.items);
    for (const choice of ['anyOf', 'oneOf'] as const)
      this.#choices(way, place, listOf(old[choice]), listOf(now[choice]));
  }

  /** In a request no value that was taken may be refused, in an answer none may come that could not come. */
  #values(way: Way, place: string, old: Json, now: Json): void {
    for (const keyword of ['type', 'enum'] as const) {
      const [was, is] = [old[keyword], now[keyword]].map((v) => (v === undefined ? undefined : [v].flat()));
      if (way === 'request') {
        const refused = was === undefined ? is : was.filter((v) => is !== undefined && !is.includes(v));
        if (is !== undefined && refused !== undefined && refused.length > 0)
          this.breaks.push(`${place}: ${keyword} is narrower`);
      } else if (
        keyword === 'type' &&
        was !== undefined &&
        (is === undefined || is.some((v) => !was.includes(v)))
      )
        // answers may gain words, which clients are told to expect, but no other types
        this.breaks.push(`${place}: ${keyword} is wider`);
    }
    if (
      way === 'request' &&
      now.const !== undefined &&
      JSON.stringify(old.const) !== JSON.stringify(now.const)
    )
      this.breaks.push(`${place}: const is narrower`);
    if (way === 'request' && now.pattern !== undefined && old.pattern !== now.pattern)
      this.breaks.push(`${place}: the pattern is another`);
  }

  #bounds(way: Way, place: string, old: Json, now: Json): void {
    if (way !== 'request') return;
    for (const [keyword, greaterIsNarrower] of BOUNDS) {
      const is = now[keyword];
      if (typeof is !== 'number') continue;
      const was =
        typeof old[keyword] === 'number'
          ? (old[keyword] as number)
          : greaterIsNarrower
            ? -Infinity
            : Infinity;
      if (greaterIsNarrower ? is > was : is < was) this.breaks.push(`${place}: ${keyword} is narrower`);
    }
  }

  #fields(way: Way, place: string, old: Json, now: Json): void {
    const [was, is] = [objectOf(old.properties), objectOf(now.properties)];
    for (const [name, schema] of Object.entries(was)) {
      if (is[name] === undefined) this.breaks.push(`${place}/${name}: is gone`);
      else this.schema(way, `${place}/${name}`, schema, is[name]);
    }
    const [had, has] = [listOf(old.required), listOf(now.required)];
    if (way === 'request')
      for (const name of has.filter((n) => !had.includes(n)))
        this.breaks.push(`${place}/${String(name)}: is required now`);
    else
      for (const name of had.filter((n) => !has.includes(n) && is[String(n)] !== undefined))
        this.breaks.push(`${place}/${String(name)}: may be missing now`);
  }

  /** By place: choices are added at the end. */
  #choices(way: Way, place: string, old: readonly unknown[], now: readonly unknown[]): void {
    if (way === 'request' && old.length > now.length) this.breaks.push(`${place}: a choice is gone`);
    if (way === 'answer' && now.length > old.length && old.length > 0)
      this.breaks.push(`${place}: a choice is new`);
    for (const [i, schema] of old.entries())
      if (now[i] !== undefined) this.schema(way, `${place}/${i}`, schema, now[i]);
  }

  content(way: Way, place: string, before: unknown, after: unknown): void {
    for (const [type, media] of Object.entries(objectOf(before))) {
      const now = objectOf(after)[type];
      if (now === undefined) this.breaks.push(`${place} ${type}: is gone`);
      else this.schema(way, `${place} ${type}`, objectOf(media).schema, objectOf(now).schema);
    }
  }

  operation(place: string, before: Json, after: Json): void {
    const parameters = (o: Json): Map<unknown, Json> =>
      new Map(listOf(o.parameters).map((p) => [objectOf(p).name, objectOf(p)]));
    const [had, has] = [parameters(before), parameters(after)];
    for (const [name, old] of had) {
      const now = has.get(name);
      if (now === undefined) this.breaks.push(`${place}?${String(name)}: is gone`);
      else this.schema('request', `${place}?${String(name)}`, old.schema, now.schema);
    }
    for (const [name, now] of has)
      if (now.required === true && had.get(name)?.required !== true)
        this.breaks.push(`${place}?${String(name)}: is required now`);
    if (before.operationId !== after.operationId) this.breaks.push(`${place}: operationId is another`);
    this.content(
      'request',
      `${place} request`,
      objectOf(before.requestBody).content,
      objectOf(after.requestBody).content,
    );
    for (const [status, response] of Object.entries(objectOf(before.responses))) {
      const now = objectOf(after.responses)[status];
      if (now === undefined) this.breaks.push(`${place} ${status}: is gone`);
      else this.content('answer', `${place} ${status}`, objectOf(response).content, objectOf(now).content);
    }
  }
}

/** @returns a line for each change that breaks a client; empty when there is none. */
export function breakingChanges(before: Json, after: Json): string[] {
  const comparison = new Comparison(before, after);
  for (const [path, methods] of Object.entries(objectOf(before.paths)))
    for (const [method, operation] of Object.entries(objectOf(methods))) {
      const now = objectOf(objectOf(after.paths)[path])[method];
      const place = `${method.toUpperCase()} ${path}`;
      if (now === undefined) comparison.breaks.push(`${place}: is gone`);
      else comparison.operation(place, objectOf(operation), objectOf(now));
    }
  return comparison.breaks;
}
