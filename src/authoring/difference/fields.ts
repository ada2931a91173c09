/** The fields in which two versions of an entry differ. */
import { pointerOf } from '../../knowledge/errors.ts';
import { isObject } from '../draft/merge-patch.ts';

export interface FieldChange {
  /** JSON Pointer inside the entry. */
  readonly pointer: string;
  /** null: not there. */
  readonly before: unknown;
  readonly after: unknown;
}

/** Most fields that are told of one entry. */
const MOST_FIELDS = 40;

function walk(before: unknown, after: unknown, path: readonly string[], out: FieldChange[]): void {
  if (isObject(before) && isObject(after)) {
    for (const field of new Set([...Object.keys(before), ...Object.keys(after)]))
      walk(before[field], after[field], [...path, field], out);
  } else if (JSON.stringify(before) !== JSON.stringify(after))
    out.push({ pointer: pointerOf(path), before: before ?? null, after: after ?? null });
}

/** @returns the fields that differ; lists are compared as wholes. */
export function fieldChanges(before: unknown, after: unknown): readonly FieldChange[] {
  const changes: FieldChange[] = [];
  walk(before, after, [], changes);
  return changes.slice(0, MOST_FIELDS);
}
