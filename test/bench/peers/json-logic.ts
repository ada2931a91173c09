/** json-logic-engine, a compiled JSON-logic engine: each rule is built into a function once. */
import { LogicEngine } from 'json-logic-engine';
import type { FlatFacts, FlatRule, Question } from './flat.ts';

type Logic = { readonly [operator: string]: unknown };

export function logicOf(q: Question): Logic {
  const fact = (name: string): Logic => ({ var: name });
  switch (q.ask) {
    case 'all':
      return { and: q.parts.map(logicOf) };
    case 'any':
      return { or: q.parts.map(logicOf) };
    case 'not':
      return { '!': [logicOf(q.part)] };
    case 'known':
      return { '!==': [fact(q.name), null] };
    case 'compare':
      return { [q.by === '==' ? '===' : q.by]: [fact(q.name), q.value] };
    case 'one-of':
      return { in: [fact(q.name), q.codes] };
    case 'has':
      return { in: [q.code, fact(q.name)] };
  }
}

/** @returns names of the rules that hold, in the order of the rules. */
export function jsonLogic(rules: readonly FlatRule[]): (facts: FlatFacts) => string[] {
  const engine = new LogicEngine();
  const built = rules.map(({ name, when }) => ({ name, holds: engine.build(logicOf(when)) }));
  return (facts) => {
    const fired: string[] = [];
    for (const { name, holds } of built) if (holds(facts)) fired.push(name);
    return fired;
  };
}
