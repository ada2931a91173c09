/** JSON Merge Patch (RFC 7396): objects are merged field by field, null takes a field away, all else replaces. */

type Json = { readonly [field: string]: unknown };

export const isObject = (value: unknown): value is Json =>
  value !== null && typeof value === 'object' && !Array.isArray(value);

/** @param nothing is told the path of each null that finds no field to take away. */
export function mergePatch(
  target: unknown,
  patch: unknown,
  nothing: (path: readonly string[]) => void,
  path: readonly string[] = [],
): unknown {
  if (!isObject(patch)) return patch;
  const merged = new Map(isObject(target) ? Object.entries(target) : []);
  for (const [field, value] of Object.entries(patch)) {
    if (value !== null) merged.set(field, mergePatch(merged.get(field), value, nothing, [...path, field]));
    else if (!merged.delete(field)) nothing([...path, field]);
  }
  return Object.fromEntries(merged);
}
