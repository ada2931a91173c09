/** A first look at what a caller sent, without recursion and before any model is made of it. */
import { pointerOf } from '../../knowledge/errors.ts';
import { MAX_DEPTH } from '../../knowledge/read-shape.ts';
import { LIMITS } from './limits.ts';
import type { DraftMistake } from './mistakes.ts';

/** Names that reach behind an object instead of into it. */
const FORBIDDEN = new Set(['__proto__', 'constructor', 'prototype']);

interface Place {
  readonly value: unknown;
  readonly path: readonly string[];
}

/** Levels of a draft above its entries: the request, the draft, what to do, the part, the list. */
const LEVELS_ABOVE = 5;

/** @returns what must be mended before the draft is read at all: size, depth, forbidden names, broken texts. */
export function inspect(draft: unknown, at: readonly string[]): DraftMistake[] {
  const mistakes: DraftMistake[] = [];
  const say = (path: readonly string[], code: string, message: string): void =>
    void mistakes.push({ pointer: pointerOf(path), code, message });
  let level: Place[] = [{ value: draft, path: at }];
  let values = 0;
  for (let depth = 0; level.length > 0; depth++) {
    values += level.length;
    if (values > LIMITS.values) return [...mistakes, tooBig(at)];
    if (depth > MAX_DEPTH + LEVELS_ABOVE)
      return [...mistakes, { pointer: pointerOf(at), code: 'too-deep', message: 'is nested too deeply' }];
    const next: Place[] = [];
    for (const { value, path } of level) {
      if (typeof value === 'string' && !value.isWellFormed())
        say(path, 'wrong-form', 'must be well-formed Unicode');
      if (value === null || typeof value !== 'object') continue;
      for (const [key, inner] of Object.entries(value)) {
        if (FORBIDDEN.has(key)) say([...path, key], 'forbidden-name', `"${key}" cannot be a name here`);
        else if (!key.isWellFormed()) say(path, 'wrong-form', 'names must be well-formed Unicode');
        else next.push({ value: inner, path: [...path, key] });
      }
    }
    level = next;
  }
  return mistakes;
}

function tooBig(at: readonly string[]): DraftMistake {
  return {
    pointer: pointerOf(at),
    code: 'too-big',
    message: `must hold at most ${LIMITS.values} values`,
  };
}
