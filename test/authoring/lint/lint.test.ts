/** Every lint that only warns: one change that brings it about, and one that comes close and does not. */
import { describe, expect, test } from 'vitest';
import { audit } from '../../../src/authoring/audit.ts';
import { LINTS, type LintId, WARNING_IDS } from '../../../src/authoring/lint/catalogue.ts';
import type { LintFinding } from '../../../src/authoring/lint/finding.ts';
import { at, found, shipped } from '../../knowledge/shipped.ts';
import {
  addCaution,
  addClue,
  type Change,
  findingsAfter,
  leaf,
  ruleSetAfter,
  shippedCases,
} from './linted.ts';

const HIGH = { all: [leaf('fear-signs-in-water', 'seenAtLeast', 1)] };

/** Gives the first drill a cause of its own making, so that nothing else is wrong with it. */
const withoutTargets: Change = (parts, texts) => {
  const drill = structuredClone(found(parts.drills, (d) => d.avoid.length === 0 && d.loads.length > 0).entry);
  Object.assign(drill, { code: 'added-drill', targets: [], prerequisites: [] });
  parts.drills.push(drill);
  const words = structuredClone(texts.drills['bubble-bob']);
  if (words !== undefined) texts.drills['added-drill'] = { ...words, targets: {}, avoid: {} };
};

const newCause: Change = (parts, texts) => {
  parts.causes.push({
    ...found(parts.causes, (c) => c.role === 'root' && !c.sided).entry,
    code: 'added-cause',
  });
  texts.causes['added-cause'] = { label: 'Added', costs: 'Something', change: 'In weeks' };
};

const LINTED: readonly (readonly [LintId, string, Change, nearMiss: Change, where: RegExp])[] = [
  [
    'unreachable-rule',
    'a gate rule that asks for what is concluded later',
    (parts) => {
      at(parts['gate-rules'], 0).conditions = {
        all: [leaf('cause:water-anxiety', 'probabilityAtLeast', 'likely')],
      };
    },
    (parts) => {
      at(parts['caution-rules'], -1).conditions = {
        all: [leaf('cause:water-anxiety', 'probabilityAtLeast', 'very likely')],
      };
    },
    /gate-rules chest-signs .*concluded after/,
  ],
  [
    'unreachable-rule',
    'a template for a tag that no drill has',
    (parts) => {
      found(parts['drill-exclusions'], (r) => r.forEach?.tag === 'paddles').entry.forEach = {
        each: 'drill',
        tag: 'no-such-tag',
      };
    },
    () => undefined,
    /drill-exclusions too-young-for-tools .*no drill has the tag/,
  ],
  [
    'contradictory-rule',
    'seen and looked for and absent at once',
    (parts, texts) =>
      addClue(parts, texts, {
        all: [leaf('hips-low', 'seenAtLeast', 1), leaf('hips-low', 'seenAbsent', true)],
      }),
    (parts, texts) =>
      addClue(parts, texts, {
        any: [leaf('hips-low', 'seenAtLeast', 2), leaf('hips-low', 'seenAbsent', true)],
      }),
    /modifiers added .*exclude each other/,
  ],
  [
    'contradictory-rule',
    'two clues under the same conditions that pull both ways',
    (parts, texts) => {
      const { cause } = at(parts.modifiers, 0).event.params;
      addClue(parts, texts, at(parts.modifiers, 0).conditions, { cause, sign: -1, role: 'counter' });
    },
    (parts, texts) =>
      addClue(
        parts,
        texts,
        { all: [leaf('fear-signs-in-water', 'seenAbsent', true)] },
        { sign: -1, role: 'counter' },
      ),
    /modifiers added .*says the opposite/,
  ],
  [
    'shadowed-rule',
    'a caution under narrower conditions than another rule for it',
    (parts, texts) => addCaution(parts, texts, { all: [leaf('age', 'atMost', 12)] }, 'junior-load'),
    (parts, texts) => addCaution(parts, texts, { all: [leaf('age', 'atMost', 16)] }, 'lane-hazard'),
    /caution-rules added .*"junior-load" fires too/,
  ],
  [
    'duplicate-rule',
    'the same clue twice, its conditions in another order',
    (parts, texts) => {
      const { entry } = found(
        parts.modifiers,
        (m) => m.scope === 'body' && 'all' in m.conditions && m.conditions.all.length === 2,
      );
      const all = 'all' in entry.conditions ? entry.conditions.all.toReversed() : [];
      addClue(parts, texts, { all }, entry.event.params);
    },
    (parts, texts) => addClue(parts, texts, { all: [leaf('fear-signs-in-water', 'seenAtLeast', 2)] }),
    /modifiers added .*fires under the same conditions/,
  ],
  [
    'table-overlap',
    'two rules of a table that both hold',
    (parts) => {
      found(parts['caution-rules'], (r) => r.id === 'minor-filming').entry.conditions = {
        all: [leaf('age', 'atMost', 18)],
      };
    },
    () => undefined,
    /caution-rules .* both hold: age 18/,
  ],
  [
    'table-gap',
    'an age that no rule of a table speaks for',
    (parts) => {
      found(parts['caution-rules'], (r) => r.id === 'minor-filming').entry.conditions = {
        all: [leaf('age', 'atMost', 16)],
      };
    },
    () => undefined,
    /caution-rules .*no rule of the table "filming" holds: age 17/,
  ],
  [
    'wrong-unit',
    'a limit in metres where centimetres are meant',
    (parts, texts) => addClue(parts, texts, { all: [leaf('trunk-incline', 'measuredAtLeast', 4000)] }),
    (parts, texts) => addClue(parts, texts, { all: [leaf('trunk-incline', 'measuredAtLeast', 20)] }),
    /modifiers added .*Is the value in another unit\? Give it in deg/,
  ],
  [
    'faint-strength',
    'a word hardly above the background',
    (parts) => {
      const { finding } = at(parts.links, 0).event.params;
      parts.constants.words.shows.seldom = 0.12;
      for (const l of parts.links.filter((x) => x.event.params.finding === finding))
        l.event.params.shows = 'usually';
    },
    () => undefined,
    /links .*of 20 swimmers with none of these causes 2 show it, of 20 whose only fault is this 2\.4/,
  ],
  [
    'diamond',
    'a cause linked to what its mechanism is linked to',
    (parts) => {
      found(parts.drivers, (d) => d.id === 'weak-kick-support--drives--body-tilt').entry.allow = [];
    },
    () => undefined,
    /drivers weak-kick-support--drives--body-tilt .*"legs-low" reaches "weak-kick-support" twice/,
  ],
  [
    'driver-is-rival',
    'a driver linked to what it drives is linked to',
    (parts) => {
      found(parts.drivers, (d) => d.id === 'stiff-ankles--drives--knee-driven-kick').entry.allow = [];
    },
    () => undefined,
    /drivers stiff-ankles--drives--knee-driven-kick .*explains away/,
  ],
  [
    'clue-repeats-link',
    'a clue that asks for nothing but a linked finding',
    (parts, texts) => {
      const link = found(parts.links, (l) => l.event.params.side === 'body').entry.event.params;
      addClue(
        parts,
        texts,
        { all: [leaf(`finding:${link.finding}`, 'seenAtLeast', 2)] },
        { cause: link.cause },
      );
    },
    (parts, texts) => addClue(parts, texts, { all: [leaf('level', 'isOneOf', ['novice'])] }),
    /modifiers added .*already speaks for/,
  ],
  [
    'unheard-cause',
    'a cause that nothing speaks for',
    (parts, texts) => {
      newCause(parts, texts);
      at(parts.drills, 0).targets.push({ cause: 'added-cause', effect: 1 });
      Object.assign(texts.drills[at(parts.drills, 0).code]?.targets ?? {}, { 'added-cause': 'text' });
    },
    () => undefined,
    /causes added-cause .*can ever speak/,
  ],
  [
    'unreported-finding',
    'a finding that nobody can report',
    (parts, texts) => {
      parts.findings.push({ ...at(parts.findings, 0), code: 'added-finding' });
      texts.findings['added-finding'] = { label: 'Added' };
    },
    () => undefined,
    /findings added-finding .*no observation or measurement/,
  ],
  [
    'cause-without-drill',
    'a cause that no drill works on',
    (parts, texts) => {
      newCause(parts, texts);
      addClue(parts, texts, HIGH, { cause: 'added-cause' });
    },
    (parts, texts) => {
      newCause(parts, texts);
      addClue(parts, texts, HIGH, { cause: 'added-cause' });
      at(parts.causes, -1).timeBand = 'not-changed';
    },
    /causes added-cause .*no drill works on/,
  ],
  [
    'drill-without-cause',
    'a drill that works on nothing',
    withoutTargets,
    (parts, texts) => {
      withoutTargets(parts, texts);
      at(parts.drills, -1).targets = [{ cause: 'head-high-habit', effect: 1 }];
      Object.assign(texts.drills['added-drill'] ?? {}, { targets: { 'head-high-habit': 'text' } });
    },
    /drills added-drill .*never chosen/,
  ],
  [
    'contraindication-unchecked',
    'loads that no rule looks for',
    (parts, texts) => {
      parts['drill-exclusions'] = parts['drill-exclusions'].filter((r) => r.id !== 'restricted-part');
      delete texts.exclusions['restricted-part'];
    },
    () => undefined,
    /drills .* no rule keeps it away when the/,
  ],
  [
    'breath-holding-task',
    'a step that asks for a held breath',
    (_, texts) => {
      texts.drills['bubble-bob']?.steps.push('Hold your breath for ten seconds.');
    },
    (_, texts) => {
      texts.drills['bubble-bob']?.steps.push('Never hold your breath here.');
    },
    /drills bubble-bob .*asks to hold the breath/,
  ],
  [
    'unused-allow',
    'an allowance that nothing needs',
    (parts) => {
      at(parts.modifiers, 0).allow = [{ lint: 'diamond', because: 'once' }];
    },
    () => undefined,
    /modifiers .*nothing here needs the allowance of "diamond"/,
  ],
];

const told = (f: LintFinding): string => `${f.part} ${f.entry} ${f.message} ${f.suggestion}`;

test('the shipped rule set is clean', () => {
  expect(findingsAfter(() => undefined)).toEqual([]);
});

describe.each(LINTED)('%s: %s', (id, _, trigger, nearMiss, where) => {
  test('is found, with its place', () => {
    const own = findingsAfter(trigger).filter((f) => f.lint === id);
    expect(own.map(told)).toContainEqual(expect.stringMatching(where));
  });

  test('is not found where it comes close', () => {
    expect(findingsAfter(nearMiss).filter((f) => f.lint === id)).toEqual([]);
  });
});

describe('no-case', () => {
  const rare: Change = (parts, texts) => addClue(parts, texts, { all: [leaf('age', 'atLeast', 109)] });

  test('is found once the cases have run', () => {
    const { findings } = audit({ ruleSet: ruleSetAfter(rare), cases: shippedCases.slice(0, 20) });
    expect(findings.filter((f) => f.lint === 'no-case').map((f) => f.entry)).toContain('added');
  });

  test('is not found where a case makes the rule fire, nor before any case has run', () => {
    const [first] = shippedCases;
    const old = {
      ...at(shippedCases, 0),
      id: 'old',
      request: { ...first?.request, swimmer: { level: 'novice', age: 110 } },
    };
    const { findings } = audit({
      ruleSet: ruleSetAfter(rare),
      cases: [old as (typeof shippedCases)[number]],
    });
    expect(findings.filter((f) => f.lint === 'no-case').map((f) => f.entry)).not.toContain('added');
    expect(findingsAfter(rare).filter((f) => f.lint === 'no-case')).toEqual([]);
  });
});

test('every lint that warns is tested here', () => {
  expect(new Set([...LINTED.map(([id]) => id), 'no-case'])).toEqual(new Set(WARNING_IDS));
});

describe('an allowance', () => {
  test('covers what it is about and nothing else', () => {
    const findings = findingsAfter((parts) => {
      const { entry } = found(parts.drivers, (d) => d.id === 'weak-kick-support--drives--body-tilt');
      entry.allow = (entry.allow ?? []).filter((a) => a.about === 'legs-low');
    });
    expect(findings.map((f) => [f.lint, f.about])).toEqual([['diamond', 'easier-with-buoy']]);
  });

  test('of a lint that does not exist is told', () => {
    const findings = findingsAfter((parts) => {
      at(parts.modifiers, 0).allow = [{ lint: 'no-such-lint', because: 'why not' }];
    });
    expect(findings.map((f) => f.message)).toEqual(['there is no lint "no-such-lint" to allow']);
  });

  test('of the shipped rule set gives its own reason each time', () => {
    const reasons = Object.values(shipped.parts)
      .filter(Array.isArray)
      .flat()
      .flatMap((entry: { allow?: { because: string }[] }) => (entry.allow ?? []).map((a) => a.because));
    expect(new Set(reasons).size).toBe(reasons.length);
  });
});

test.each(Object.entries(LINTS))('%s has a page in whole sentences', (_, lint) => {
  for (const text of [lint.what, lint.why, lint.mend, lint.ignore]) expect(text).toMatch(/^["A-Z].*[.?]$/);
});
