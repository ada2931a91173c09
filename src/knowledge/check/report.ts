/** How a check says what is wrong. */
import { pointerOf, type RuleSetError } from '../errors.ts';

export type Report = (file: string, path: readonly PropertyKey[], message: string) => void;

export function each<T>(list: readonly T[] | undefined, visit: (item: T, i: number) => void): void {
  for (const [i, item] of (list ?? []).entries()) visit(item, i);
}

/** Says every fault once: a template that is written out many times repeats its own. */
export function collector(): { report: Report; errors: RuleSetError[] } {
  const errors: RuleSetError[] = [];
  const said = new Set<string>();
  const report: Report = (file, path, message) => {
    const error = { file: `${file}.json`, pointer: pointerOf(path), message };
    const key = JSON.stringify(error);
    if (!said.has(key)) errors.push(error);
    said.add(key);
  };
  return { report, errors };
}
