/** zen-engine, a decision engine written in Rust: one decision table that collects every row that holds. */
import { ZenEngine } from '@gorules/zen-engine';
import type { FlatFacts, FlatRule, Question } from './flat.ts';

const text = (value: string): string => `'${value}'`;

function expressionOf(q: Question): string {
  switch (q.ask) {
    case 'all':
      return `(${q.parts.map(expressionOf).join(' and ')})`;
    case 'any':
      return `(${q.parts.map(expressionOf).join(' or ')})`;
    case 'not':
      return `not (${expressionOf(q.part)})`;
    case 'known':
      return `(${q.name} != null)`;
    case 'compare':
      return `(${q.name} ${q.by} ${q.value})`;
    case 'one-of':
      return `(${q.name} in [${q.codes.map(text).join(', ')}])`;
    case 'has':
      return `(${text(q.code)} in ${q.name})`;
  }
}

/** @returns names of the rules that hold, in the order of the rules. */
export function zen(rules: readonly FlatRule[]): (facts: FlatFacts) => Promise<string[]> {
  const content = {
    nodes: [
      { id: 'in', name: 'request', type: 'inputNode', position: { x: 0, y: 0 } },
      {
        id: 'rules',
        name: 'rules',
        type: 'decisionTableNode',
        position: { x: 0, y: 0 },
        content: {
          hitPolicy: 'collect',
          inputs: [{ id: 'when', name: 'when', type: 'expression', field: '' }],
          outputs: [{ id: 'rule', name: 'rule', type: 'expression', field: 'rule' }],
          rules: rules.map(({ name, when }, i) => ({
            _id: String(i),
            when: expressionOf(when),
            rule: `"${name}"`,
          })),
        },
      },
      { id: 'out', name: 'response', type: 'outputNode', position: { x: 0, y: 0 } },
    ],
    edges: [
      { id: 'a', sourceId: 'in', targetId: 'rules', type: 'edge' },
      { id: 'b', sourceId: 'rules', targetId: 'out', type: 'edge' },
    ],
  };
  const decision = new ZenEngine().createDecision(content);
  return async (facts) => {
    const { result } = await decision.evaluate(facts);
    return (result as { rule: string }[]).map(({ rule }) => rule);
  };
}
