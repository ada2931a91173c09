/** A record in the making from one row, and which column each of its fields came from. */

export type Json = { [key: string]: unknown };

export interface Draft {
  /** In the shape of a squad member, not yet checked. */
  readonly member: Json;
  /** JSON Pointer inside the member to the name of a column. */
  readonly places: Map<string, string>;
}

export function newDraft(): Draft {
  return { member: { swimmer: {} }, places: new Map() };
}

/** @param path field names with slashes between. */
export function setField(draft: Draft, path: string, value: unknown, column: string): void {
  const names = path.split('/');
  const last = names.pop() as string;
  let at = draft.member;
  for (const name of names) {
    at[name] ??= {};
    at = at[name] as Json;
  }
  at[last] = value;
  draft.places.set(`/${path}`, column);
}

function listAt(owner: Json, name: string): Json[] {
  owner[name] ??= [];
  return owner[name] as Json[];
}

export function addEntry(draft: Draft, list: string, entry: Json, column: string): void {
  const entries = listAt(draft.member, list);
  draft.places.set(`/${list}/${entries.length}`, column);
  entries.push(entry);
}

/** Score and features of one site stand in two columns and make one entry. */
export function painEntry(
  draft: Draft,
  site: string,
  side: string | undefined,
  field: 'score' | 'features',
  value: unknown,
  column: string,
): void {
  draft.member.health ??= {};
  const entries = listAt(draft.member.health as Json, 'pain');
  let at = entries.findIndex((e) => e.site === site && e.side === side);
  if (at < 0) at = entries.push(side === undefined ? { site } : { site, side }) - 1;
  (entries[at] as Json)[field] = value;
  const suffix = `${site}${side === undefined ? '' : `@${side}`}`;
  draft.places.set(`/health/pain/${at}/score`, `pain:${suffix}`);
  draft.places.set(`/health/pain/${at}/${field}`, column);
}
