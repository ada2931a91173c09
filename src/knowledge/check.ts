/** Checks across the parts of a rule set, after each file has the right shape. */
import { checkConditions } from './check/conditions.ts';
import { checkDriverLoops } from './check/drivers.ts';
import { checkPairs, checkUnique } from './check/names.ts';
import { checkRanges } from './check/ranges.ts';
import { checkReferences } from './check/references.ts';
import { collector } from './check/report.ts';
import { checkSides } from './check/sides.ts';
import { compareTexts } from './check/texts.ts';
import type { RuleSetError } from './errors.ts';
import { factCatalogue } from './fact-catalogue.ts';
import type { Parts } from './parts.ts';
import type { Texts } from './texts.ts';

/** @returns what a language file lacks, and what it has that belongs to nothing. */
export function checkTexts(parts: Parts, texts: Texts): RuleSetError[] {
  const { report, errors } = collector();
  compareTexts(parts, texts, report);
  return errors;
}

/** @returns all faults; an empty list means that the rule set can be compiled. */
export function checkRuleSet(parts: Parts, texts: Texts): RuleSetError[] {
  const { report, errors } = collector();
  checkUnique(parts, report);
  checkPairs(parts, report);
  checkReferences(parts, report);
  checkSides(parts, report);
  checkRanges(parts, report);
  checkConditions(parts, factCatalogue(parts), report);
  checkDriverLoops(parts, report);
  compareTexts(parts, texts, report);
  return errors;
}
