/** Compares two values number by number: what differs by more than the tolerance, as paths to read. */
export function differences(actual: unknown, expected: unknown, tolerance: number, path = ''): string[] {
  if (typeof actual === 'number' && typeof expected === 'number') {
    return Math.abs(actual - expected) <= tolerance ? [] : [`${path}: ${actual} is not ${expected}`];
  }
  if (actual === null || expected === null || typeof actual !== 'object' || typeof expected !== 'object') {
    return actual === expected ? [] : [`${path}: ${String(actual)} is not ${String(expected)}`];
  }
  const keys = new Set([...Object.keys(actual), ...Object.keys(expected)]);
  return [...keys].flatMap((key) =>
    differences(
      (actual as Record<string, unknown>)[key],
      (expected as Record<string, unknown>)[key],
      tolerance,
      `${path}/${key}`,
    ),
  );
}
