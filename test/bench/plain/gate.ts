/** Health before technique. */
import type { Side } from '../../../src/contract/common.ts';
import { type Facts, firing, type Words } from './conditions.ts';
import type { RuleBook } from './rule-book.ts';

export interface Gate {
  readonly status: 'stop' | 'refer' | 'modify' | 'clear';
  readonly restrictions: readonly { readonly bodyPart: string; readonly side: Side }[];
}

export function healthGate(facts: Facts, words: Words, book: RuleBook): Gate {
  const fired = firing(book.gate, facts, words);
  const parts = (outcome: string): Map<string, { bodyPart: string; side: Side }> => {
    const notes = new Map<string, { bodyPart: string; side: Side }>();
    for (const { side, event } of fired) {
      if (event.params.outcome !== outcome) continue;
      for (const bodyPart of event.params.restricts) {
        const key = `${bodyPart}@${side}`;
        if (!notes.has(key)) notes.set(key, { bodyPart, side });
      }
    }
    return notes;
  };
  const referred = parts('refer');
  const restrictions = [...referred.values()];
  const aches = [...parts('modify')].filter(([key]) => !referred.has(key)).map(([, note]) => note);
  const stop = fired.some((rule) => rule.event.params.outcome === 'stop');
  const status = stop ? 'stop' : restrictions.length > 0 ? 'refer' : aches.length > 0 ? 'modify' : 'clear';
  facts.set('gate-status', status);
  for (const part of book.parts.lists.bodyParts) {
    facts.set(
      `restricted:${part}`,
      restrictions.some((r) => r.bodyPart === part),
    );
    facts.set(
      `ache:${part}`,
      aches.some((a) => a.bodyPart === part),
    );
  }
  return { status, restrictions };
}
