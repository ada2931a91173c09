import { describe, expect, test } from 'vitest';
import { leavesOf } from '../../src/engine/conditions.ts';
import { expand } from '../../src/knowledge/expand.ts';
import type { AuthoredCondition, AuthoredRule } from '../../src/knowledge/parts.ts';
import { facts, leaf, rule } from './authored.ts';
import { copyOfParts } from './shipped.ts';

describe('templates', () => {
  const template = (
    each: NonNullable<AuthoredRule['forEach']>['each'],
    conditions: AuthoredCondition,
    more: Partial<AuthoredRule> = {},
  ): AuthoredRule => ({ ...rule('body', conditions), forEach: { each }, ...more });

  const parts = copyOfParts();
  parts.drills = parts.drills.slice(0, 3);
  const [plain, geared, loading] = parts.drills.map((d) =>
    Object.assign(d, { needsAnyOf: [], loads: [], avoid: [], tags: [] }),
  );
  if (plain === undefined || geared === undefined || loading === undefined) throw new Error('three drills');
  geared.needsAnyOf.push(...(['fins', 'board'] as never[]));
  geared.tags.push('hard' as never);
  loading.loads.push(...(['shoulder', 'knee'] as never[]));
  loading.avoid.push({ cause: 'weak-arm', from: 'likely' } as never);
  const drill = (d: { code: string }) => `a-rule--${d.code}`;

  test('over drills: one rule a drill, in file order, with its code and its levels filled in', () => {
    const rules = expand(
      [
        template(
          'drill',
          { all: [leaf('level', 'isNoneOf', '$levels'), leaf('refused-drill:$drill', 'is', true)] },
          {
            event: { type: 'exclude', params: { drill: '$drill', reason: 'level' } },
          },
        ),
      ],
      parts,
      facts,
    );
    expect(rules.map((r) => r.id)).toEqual(parts.drills.map(drill));
    expect(rules.map((r) => r.event.params)).toEqual(
      parts.drills.map((d) => ({ drill: d.code, reason: 'level' })),
    );
    expect(rules.map((r) => r.conditions)).toEqual(
      parts.drills.map((d) => ({
        all: [leaf('level', 'isNoneOf', d.levels as never), leaf(`refused-drill:${d.code}`, 'is', true)],
      })),
    );
  });

  test('over the drills of one tag', () => {
    const tagged = template(
      'drill',
      { all: [leaf('hips-low')] },
      { forEach: { each: 'drill', tag: 'hard' } },
    );
    expect(expand([tagged], parts, facts).map((r) => r.id)).toEqual([drill(geared)]);
  });

  test('over drills that need equipment: the whole list is the value', () => {
    const rules = expand(
      [template('drill-with-equipment', { all: [leaf('equipment', 'includesNoneOf', '$needsAnyOf')] })],
      parts,
      facts,
    );
    expect(rules.map((r) => [r.id, r.conditions])).toEqual([
      [drill(geared), { all: [leaf('equipment', 'includesNoneOf', ['fins', 'board'] as never)] }],
    ]);
  });

  test('over the body parts that drills load: one rule each', () => {
    const rules = expand(
      [template('drill-load', { all: [leaf('restricted:$bodyPart', 'is', true)] })],
      parts,
      facts,
    );
    expect(rules.map((r) => [r.id, r.conditions])).toEqual(
      ['shoulder', 'knee'].map((part) => [
        `${drill(loading)}--${part}`,
        { all: [leaf(`restricted:${part}`, 'is', true)] },
      ]),
    );
  });

  test('over the causes that drills avoid: the word is filled in but is not part of the id', () => {
    const rules = expand(
      [template('drill-avoid', { all: [leaf('cause:$cause', 'probabilityAtLeast', '$from')] })],
      parts,
      facts,
    );
    expect(rules.map((r) => [r.id, r.conditions])).toEqual([
      [
        `${drill(loading)}--weak-arm`,
        {
          all: [
            {
              any: [
                leaf('cause:weak-arm@left', 'probabilityAtLeast', 'likely'),
                leaf('cause:weak-arm@right', 'probabilityAtLeast', 'likely'),
              ],
            },
          ],
        },
      ],
    ]);
  });

  test('over observed findings: the sides are those of the finding', () => {
    const own = copyOfParts();
    own.findings = own.findings
      .slice(0, 2)
      .map((f, i) => ({ ...f, code: ['elbow-low', 'hips-low'][i] as string, sided: i === 0 }));
    own.findings.push({ ...own.findings[0], code: 'measured-only' } as never);
    own.observations = own.observations
      .slice(0, 2)
      .map((o, i) => ({ ...o, code: ['hips-low', 'elbow-low'][i] as string }));
    const rules = expand(
      [template('observed-finding', { all: [leaf('$code', 'isAssessed', true)] }, { scope: '$scope' })],
      own,
      facts,
    );
    expect(rules.map((r) => [r.id, r.side, leavesOf(r.conditions).map((l) => l.fact)])).toEqual([
      ['a-rule--elbow-low', 'left', ['elbow-low@left']],
      ['a-rule--elbow-low', 'right', ['elbow-low@right']],
      ['a-rule--hips-low', 'body', ['hips-low']],
    ]);
  });
});
