/** Every lint that keeps a rule set from being loaded: one change that brings it about; the shipped rule set has none. */
import { describe, expect, test } from 'vitest';
import { LINTS } from '../../../src/authoring/lint/catalogue.ts';
import { ERRORS } from '../../../src/authoring/lint/errors.ts';
import { checkRuleSet } from '../../../src/knowledge/check.ts';
import { PARTS } from '../../../src/knowledge/parts.ts';
import { readShape } from '../../../src/knowledge/read-shape.ts';
import { at, copyOfParts, copyOfTexts, found, shipped } from '../../knowledge/shipped.ts';
import { type Change, leaf } from './linted.ts';

type ErrorId = keyof typeof ERRORS;

const ask =
  (fact: string, operator: string, value: unknown): Change =>
  (parts) => {
    at(parts.modifiers, 0).conditions = { all: [leaf(fact, operator, value)] };
  };

/** Faults across the parts. */
const ACROSS: readonly (readonly [ErrorId, Change, nearMiss: Change])[] = [
  [
    'unknown-code',
    (parts) => {
      at(parts.links, 0).event.params.cause = 'no-such';
    },
    () => undefined,
  ],
  [
    'unknown-word',
    (parts) => {
      at(parts.links, 0).event.params.shows = 'mostly';
    },
    (parts) => {
      at(parts.links, 0).event.params.shows = 'usually';
    },
  ],
  ['unknown-fact', ask('hip-low', 'seenAtLeast', 1), ask('hips-low', 'seenAtLeast', 1)],
  ['operator-does-not-fit', ask('hips-low', 'measuredAtLeast', 1), ask('hip-depth', 'measuredAtLeast', 1)],
  ['wrong-value', ask('hips-low', 'seenAtLeast', 4), ask('hips-low', 'seenAtLeast', 3)],
  ['wrong-suffix', ask('early-exit@left', 'seenAtLeast', 1), ask('early-exit', 'seenAtLeast', 1)],
  [
    'unfilled-variable',
    (parts) => {
      at(parts.modifiers, 0).scope = '$scope';
    },
    () => undefined,
  ],
  [
    'duplicate-code',
    (parts) => {
      parts.cautions.push(at(parts.cautions, 0));
    },
    () => undefined,
  ],
  [
    'duplicate-link',
    (parts, texts) => {
      parts.links.push({ ...at(parts.links, 0), id: 'again' });
      texts.links.again = 'text';
    },
    () => undefined,
  ],
  [
    'wrong-side',
    (parts) => {
      found(parts.links, (l) => l.event.params.side === 'body').entry.event.params.side = 'opposite';
    },
    (parts) => {
      found(parts.links, (l) => l.event.params.side === 'same').entry.event.params.side = 'opposite';
    },
  ],
  [
    'impossible-band',
    (parts) => {
      at(parts.measurements, 0).possible = { min: 3, max: 0 };
    },
    (parts) => {
      at(parts.measurements, 0).possible = { min: 0, max: 4 };
    },
  ],
  [
    'strength-beyond-background',
    (parts) => {
      const { finding } = at(parts.links, 0).event.params;
      found(parts.findings, (f) => f.code === finding).entry.background = '3-in-10';
      at(parts.links, 0).event.params.shows = 'sometimes';
    },
    (parts) => {
      const { finding } = at(parts.links, 0).event.params;
      found(parts.findings, (f) => f.code === finding).entry.background = '3-in-10';
      at(parts.links, 0).event.params.shows = 'often';
    },
  ],
  [
    'driver-of-no-mechanism',
    (parts) => {
      found(parts.drivers, (d) => !d.infer).entry.infer = true;
    },
    () => undefined,
  ],
  [
    'driver-loop',
    (parts) => {
      Object.assign(at(parts.drivers, 0), { driven: at(parts.drivers, 0).driver, infer: false });
    },
    () => undefined,
  ],
  [
    'no-session',
    (parts, texts) => {
      for (const s of parts.sessions) if (s.level === 'novice') delete texts.sessions[s.code];
      parts.sessions = parts.sessions.filter((s) => s.level !== 'novice');
    },
    (parts, texts) => {
      const { code } = found(parts.sessions, (s) => s.level === 'novice').entry;
      delete texts.sessions[code];
      parts.sessions = parts.sessions.filter((s) => s.code !== code);
    },
  ],
  [
    'missing-text',
    (_, texts) => {
      delete texts.causes['head-high-habit'];
    },
    () => undefined,
  ],
  [
    'spare-text',
    (_, texts) => {
      texts.links['no-such'] = 'text';
    },
    (_, texts) => {
      texts.glossary['no such'] = 'A term more.';
    },
  ],
];

const codesAfter = (change: Change): string[] => {
  const [parts, texts] = [copyOfParts(), copyOfTexts()];
  change(parts, texts);
  return checkRuleSet(parts, texts).map((e) => e.code);
};

/** Faults of one entry by itself. */
const OF_A_RULE: readonly (readonly [ErrorId, object])[] = [
  ['unknown-operator', { conditions: { all: [leaf('hips-low', 'looksLike', true)] } }],
  ['no-rationale', { rationale: undefined }],
  ['no-mark', { mark: 'a friend said so' }],
];
const codesOf = (change: object): string[] =>
  readShape(PARTS.links.element, { ...at(shipped.parts.links, 0), ...change }).mistakes.map((m) => m.code);

describe.each(ACROSS)('%s', (id, trigger, nearMiss) => {
  test('is found', () => expect(codesAfter(trigger)).toContain(id));
  test('is not found where it comes close', () => expect(codesAfter(nearMiss)).not.toContain(id));
});

describe.each(OF_A_RULE)('%s', (id, trigger) => {
  test('is found', () => expect(codesOf(trigger)).toEqual([id]));
  test('is not found in a rule of the shipped rule set', () => expect(codesOf({})).toEqual([]));
});

test('every lint that refuses a rule set is tested here, and is an error', () => {
  expect(new Set([...ACROSS, ...OF_A_RULE].map(([id]) => id as string))).toEqual(
    new Set(Object.keys(ERRORS)),
  );
  expect(Object.keys(ERRORS).map((id) => LINTS[id]?.severity)).toEqual(
    Object.keys(ERRORS).map(() => 'error'),
  );
});
