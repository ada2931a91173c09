/** How far observers of the same swims agree, and which observations need a better definition. Pure. */
import { mean } from 'simple-statistics';
import { phrase } from '../../assess/phrases.ts';
import type {
  AgreementAnswer,
  AgreementFigure,
  AgreementOnObservation,
  AgreementRequest,
} from '../../contract/agreement.ts';
import type { RuleSet } from '../../knowledge/rule-set.ts';
import { pairsOf, presentFigure, severityFigure } from './figures.ts';
import { bySwim, type Item, itemsOf, observersOf } from './items.ts';

type Verdict = AgreementOnObservation['verdict'];

interface Figures {
  readonly items: number;
  readonly prevalence: number | null;
  readonly present: AgreementFigure | null;
  readonly severity: AgreementFigure | null;
}

function judge({ items, prevalence, present, severity }: Figures, ruleSet: RuleSet): [Verdict, string] {
  const { fewestItems, oneSidedFrom, redefineBelow, holdsFrom } = ruleSet.parts.constants.agreement;
  if (present === null || prevalence === null || items < fewestItems) return ['too-few', 'too-few'];
  const oneSided = Math.max(prevalence, 1 - prevalence) >= oneSidedFrom;
  // what two coins with so lopsided a fall would agree on
  const byChance = oneSidedFrom ** 2 + (1 - oneSidedFrom) ** 2;
  if (present.kappa === null || (oneSided && present.agreement >= byChance))
    return ['one-sided', 'one-sided'];
  if (present.kappa < redefineBelow) return ['redefine', 'present-poor'];
  if (severity !== null && severity.kappa !== null && severity.kappa < redefineBelow)
    return ['watch', 'severity-poor'];
  return present.kappa < holdsFrom ? ['watch', 'present-fair'] : ['holds', 'holds'];
}

function observation(code: string, all: readonly Item[], ruleSet: RuleSet): AgreementOnObservation {
  const items = all.filter((i) => i.by.size > 1);
  const said = items.flatMap((i) => [...i.by.values()]);
  const figures: Figures = {
    items: items.length,
    prevalence: said.length === 0 ? null : mean(said.map((s) => (s > 0 ? 1 : 0))),
    present: presentFigure(items),
    severity: severityFigure(items),
  };
  const [verdict, reason] = judge(figures, ruleSet);
  const text = ruleSet.texts.observations[code];
  return {
    code,
    label: text?.label ?? code,
    verdict,
    because: { code: reason, text: phrase(ruleSet, `agreement-${reason}`) },
    swims: bySwim(items).length,
    ...figures,
    observers: observersOf(all).map((observer) => {
      const own = all.flatMap((i) => i.by.get(observer) ?? []);
      return { observer, rated: own.length, marked: own.filter((s) => s > 0).length };
    }),
    adjusted: figures.present === null ? null : 2 * figures.present.agreement - 1,
    pairs: pairsOf(items),
    definition: { howToJudge: text?.howToJudge ?? '', anchors: [...(text?.anchors ?? [])] },
  };
}

function messages(
  items: ReadonlyMap<string, readonly Item[]>,
  ruleSet: RuleSet,
): AgreementAnswer['messages'] {
  const lonely = [...items.values()].flat().filter((i) => i.by.size < 2).length;
  if (lonely === 0) return [];
  return [{ code: 'seen-by-one', text: phrase(ruleSet, 'agreement-seen-by-one', { count: String(lonely) }) }];
}

/** @param request of a valid shape, with codes of the rule set and no rating given twice */
export function agreement(request: AgreementRequest, ruleSet: RuleSet): AgreementAnswer {
  const items = itemsOf(request.ratings);
  const observations = [...items].map(([code, own]) => observation(code, own, ruleSet));
  const poor = observations
    .filter((o) => o.verdict === 'redefine')
    .sort((a, b) => (a.present?.kappa ?? 0) - (b.present?.kappa ?? 0) || (a.code < b.code ? -1 : 1));
  const { name, version } = ruleSet.manifest;
  const judged = observations.filter((o) => o.verdict !== 'too-few' && o.verdict !== 'one-sided').length;
  const key = judged === 0 ? 'agreement-summary-none' : 'agreement-summary';
  return {
    ruleSet: { name, version, digest: ruleSet.digest },
    summary: phrase(ruleSet, key, { judged: String(judged), poor: String(poor.length) }),
    redefine: poor.map((o) => o.code),
    observations,
    messages: messages(items, ruleSet),
  };
}
