/** How a check says what is wrong. */
import { pointerOf, type RuleSetError } from '../errors.ts';

/**
 * @param code kind of fault; each has a page that says how to mend it.
 * @param file name of the part, without its ending.
 * @param more what the fault is about, and what may have been meant.
 */
export type Report = (
  code: string,
  file: string,
  path: readonly PropertyKey[],
  message: string,
  more?: Pick<RuleSetError, 'value' | 'suggestions'>,
) => void;

export function each<T>(list: readonly T[] | undefined, visit: (item: T, i: number) => void): void {
  for (const [i, item] of (list ?? []).entries()) visit(item, i);
}

/** Says every fault once: a template that is written out many times repeats its own. */
export function collector(): { report: Report; errors: RuleSetError[] } {
  const errors: RuleSetError[] = [];
  const said = new Set<string>();
  const report: Report = (code, file, path, message, more) => {
    const error = { file: `${file}.json`, pointer: pointerOf(path), code, message };
    const key = JSON.stringify(error);
    if (!said.has(key)) errors.push({ ...error, ...more });
    said.add(key);
  };
  return { report, errors };
}
