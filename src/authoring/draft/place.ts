/** Where in the draft a fault of the whole rule set comes from. */
import type { RuleSetError } from '../../knowledge/errors.ts';
import { pointerOf } from '../../knowledge/errors.ts';
import type { DraftMistake } from './mistakes.ts';
import type { Overlaid, Touch } from './overlay.ts';
import { LIST_PARTS, partAt } from './parts.ts';

const stepsOf = (pointer: string): string[] =>
  pointer
    .split('/')
    .slice(1)
    .map((step) => step.replaceAll('~1', '/').replaceAll('~0', '~'));

/** The place where the draft itself speaks of the name, if it does: removing it is the likeliest reason of a fault elsewhere. */
function spokenOf(name: string | undefined, over: Overlaid): Touch | undefined {
  if (name === undefined) return undefined;
  const touches = [...over.touched.values()].flatMap((part) => part.get(name) ?? []);
  return touches.find((t) => t.change === 'removed') ?? touches[0];
}

const quiet = (error: RuleSetError, over: Overlaid): boolean =>
  (error.value !== undefined && over.broken.has(error.value)) ||
  (over.textsAreBroken && error.file.startsWith('texts/'));

/** @param upsert the parts that the draft writes, to point into them. */
function placeOf(
  error: RuleSetError,
  over: Overlaid,
  upsert: object,
): { path: readonly (string | number)[]; entry?: string } {
  const steps = stepsOf(error.pointer);
  const file = error.file.replace(/\.json$/, '');
  const elsewhere = spokenOf(error.value, over)?.path ?? ['draft'];
  if (file.startsWith('texts/')) {
    const at = partAt(steps);
    const name = error.value ?? steps[at?.steps ?? 1] ?? '';
    const touch = at === undefined ? undefined : over.touched.get(at.part)?.get(name);
    if (touch !== undefined)
      return { path: touch.change === 'removed' ? touch.path : [...touch.path, 'text'] };
    // words of something that the draft takes away elsewhere
    const gone = spokenOf(error.value, over);
    if (gone?.change === 'removed') return { path: gone.path, entry: `texts ${steps.join('/')}: ` };
    return { path: Object.hasOwn(upsert, 'texts') ? ['draft', 'upsert', 'texts', ...steps] : elsewhere };
  }
  const list = LIST_PARTS.get(file);
  if (list === undefined)
    return { path: Object.hasOwn(upsert, file) ? ['draft', 'upsert', file, ...steps] : elsewhere };
  const [index = '', ...inner] = steps;
  const entries = over.source.parts[file as keyof typeof over.source.parts] as unknown as readonly {
    [k: string]: unknown;
  }[];
  const name = entries[Number(index)]?.[list.key] as string | undefined;
  if (index === '' || name === undefined) return { path: elsewhere };
  const touch = over.touched.get(file)?.get(name);
  if (touch !== undefined) return { path: [...touch.path, ...inner] };
  return { path: elsewhere, entry: `${file} "${name}": ` };
}

/** Faults of the whole as mistakes of the draft; what only follows from an entry that could not be read is left out. */
export function placed(errors: readonly RuleSetError[], over: Overlaid, upsert: object): DraftMistake[] {
  return errors
    .filter((error) => !quiet(error, over))
    .map((error) => {
      const { path, entry = '' } = placeOf(error, over, upsert);
      return {
        pointer: pointerOf(path),
        code: error.code,
        message: entry + error.message,
        ...(error.suggestions === undefined || error.suggestions.length === 0
          ? {}
          : { suggestions: error.suggestions }),
      };
    });
}
