/** Ratings of several observers to how far they agree. */
import { agreement } from '../../authoring/agreement/agreement.ts';
import { sidesOf } from '../../authoring/agreement/items.ts';
import { AgreementRequest } from '../../contract/agreement.ts';
import type { ProblemError } from '../../contract/problem.ts';
import type { Catalogue } from '../../knowledge/catalogue.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { checkVocabulary } from '../../knowledge/vocabulary.ts';
import { invalid, readBody } from '../input.ts';
import { parseJson } from '../json.ts';
import { ruleSetOf } from '../rule-set-of.ts';
import type { Posted } from './posted.ts';

export interface AgreeTask extends Posted {
  readonly kind: 'agree';
}

/** A rating uses the words of an observation in a record. */
function wordErrors(body: unknown, ruleSet: RuleSet): ProblemError[] {
  const { ratings } = (body ?? {}) as { ratings?: unknown };
  return checkVocabulary({ observations: ratings }, ruleSet).map(
    (e) => ({ ...e, pointer: e.pointer.replace(/^\/observations/, '/ratings') }) as ProblemError,
  );
}

/** Two ratings of the same thing by one observer: only he knows which one he means. */
function ratedTwice({ ratings }: AgreementRequest): ProblemError[] {
  const first = new Map<string, number>();
  return ratings.flatMap((rating, i) => {
    const keys = sidesOf(rating).map((side) =>
      JSON.stringify([rating.observer, rating.swim, rating.code, side]),
    );
    const before = keys.map((key) => first.get(key)).find((at) => at !== undefined);
    for (const key of keys) first.set(key, first.get(key) ?? i);
    if (before === undefined) return [];
    const message = `this observer rated the same already in /ratings/${before}; give a second look another observer or swim`;
    return [{ pointer: `/ratings/${i}`, code: 'rated-twice', message }];
  });
}

export function agreeTask({ bytes }: AgreeTask, catalogue: Catalogue): string {
  const sent = parseJson(bytes);
  const { ruleSet, errors } = ruleSetOf(sent, catalogue);
  const words = ruleSet === undefined ? [] : wordErrors(sent, ruleSet);
  const body = readBody(AgreementRequest, sent, ruleSet, [...errors, ...words]);
  const twice = ratedTwice(body);
  if (twice.length > 0) throw invalid(twice);
  return JSON.stringify(agreement(body, ruleSet as RuleSet));
}
