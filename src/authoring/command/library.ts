/** A version in its folder, with its cases. */
import { basename, dirname, resolve } from 'node:path';
import { loadRuleSet } from '../../knowledge/load.ts';
import type { Library } from '../draft/build.ts';
import { readCaseFiles } from '../library.ts';

export interface OnDisk extends Library {
  /** `name@version`. */
  readonly id: string;
  readonly folder: string;
  /** Where the rule sets and their lock stand. */
  readonly root: string;
}

/**
 * @param folder such as `rules/front-crawl/1.0.0`.
 * @throws RuleSetInvalid with every fault.
 */
export async function readLibrary(folder: string): Promise<OnDisk> {
  const at = resolve(folder);
  const ruleSet = await loadRuleSet(at);
  const cases = [...(await readCaseFiles(at)).values()].flat();
  const id = `${basename(dirname(at))}@${basename(at)}`;
  return { ruleSet, cases, id, folder: at, root: dirname(dirname(at)) };
}
