/** What the printing looks up in the texts of the rule set. */
export interface Words {
  readonly principles: Readonly<Record<string, { readonly title: string }>>;
  readonly phrases: Readonly<Record<string, string>>;
}

/** A reason for a focus in words; one that is no principle is named by its code. */
export function reason(code: string, words: Words): string {
  if (code === 'coach-choice') return "the coach's own choice";
  return words.principles[code]?.title ?? code;
}

export const fromView = (view: string, words: Words): string => words.phrases[`view-${view}`] ?? view;
