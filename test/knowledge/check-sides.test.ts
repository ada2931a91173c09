/** A side rule that cannot join what it stands between would silently build nothing. */
import { describe, expect, test } from 'vitest';
import { at, faultsAfter, found, shipped } from './shipped.ts';

const { causes, findings } = shipped.parts;
const cause = (sided: boolean) => found(causes, (c) => c.sided === sided && c.role === 'root').entry.code;
const finding = (sided: boolean) => found(findings, (f) => f.sided === sided).entry.code;

/** The side rules that make sense between a cause and a finding, by whether each has sides. */
const FITTING: readonly (readonly [cause: boolean, finding: boolean, sides: readonly string[]])[] = [
  [true, true, ['same', 'opposite', 'both']],
  [false, true, ['stronger', 'both']],
  [true, false, ['both']],
  [false, false, ['body']],
];
const combinations = FITTING.flatMap(([c, f, fitting]) =>
  ['same', 'opposite', 'both', 'stronger', 'body'].map(
    (side) => [side, c ? 'sided' : 'whole-body', f ? 'sided' : 'whole-body', fitting.includes(side)] as const,
  ),
);

describe('the side of a link', () => {
  test.each(combinations)(
    '"%s" between a %s cause and a %s finding is allowed: %s',
    (side, c, f, allowed) => {
      const [from, to] = [cause(c === 'sided'), finding(f === 'sided')];
      const faults = faultsAfter((parts) => {
        parts.links = [at(parts.links, 0)];
        at(parts.links, 0).scope = c === 'sided' || f === 'sided' ? 'arm' : 'body';
        Object.assign(at(parts.links, 0).event.params, {
          cause: from,
          finding: to,
          side,
          shows: 'nearly-always',
        });
      }).filter((fault) => fault.startsWith('links.json'));
      expect(faults.length).toBe(allowed ? 0 : 1);
      if (!allowed)
        expect(faults[0]).toMatch(/^links\.json#\/0\/event\/params\/side: ".*" cannot join them: /);
    },
  );

  test('decides with its ends whether the rule runs for each arm', () => {
    const i = shipped.parts.links.findIndex((l) => l.scope === 'arm');
    const faults = faultsAfter((parts) => {
      at(parts.links, i).scope = 'body';
    });
    expect(faults).toEqual([expect.stringMatching(`^links\\.json#/${i}/scope: must be "arm"`)]);
  });
});

describe('the scope of a rule', () => {
  test.each(['arm', 'body'] as const)(
    'a modifier of a cause of the %s runs for it, not for the other',
    (scope) => {
      const { index } = found(shipped.parts.modifiers, (m) => m.scope === scope && m.forEach === undefined);
      const faults = faultsAfter((parts) => {
        at(parts.modifiers, index).scope = scope === 'arm' ? 'body' : 'arm';
      });
      expect(faults[0]).toMatch(new RegExp(`^modifiers\\.json#/${index}/scope: must be "${scope}"`));
    },
  );

  test('a report on a finding with sides says on which', () => {
    const sided = (code: string): boolean => shipped.findings.get(code)?.sided === true;
    const { index } = found(shipped.parts.reports, (r) => sided(r.event.params.finding));
    const faults = faultsAfter((parts) => {
      at(parts.reports, index).scope = 'body';
    });
    expect(faults).toEqual([expect.stringMatching(`^reports\\.json#/${index}/scope: must be "arm"`)]);
  });

  test('a deduction is of one arm', () => {
    const faults = faultsAfter((parts) => {
      at(parts.deductions, 0).event.params.finding = finding(false);
    });
    expect(faults).toEqual([
      expect.stringMatching(/^deductions\.json#\/0\/event\/params\/finding: ".*" has no sides/),
    ]);
  });

  test('$scope needs a template that fills it in', () => {
    const faults = faultsAfter((parts) => {
      at(parts.modifiers, 0).scope = '$scope';
    });
    expect(faults).toEqual(['modifiers.json#/0/scope: nothing fills in "$scope"']);
  });
});

test('an observation and the finding of its name agree on sides', () => {
  const { code, sided } = found(shipped.parts.findings, (f) => shipped.observations.has(f.code)).entry;
  const i = shipped.parts.observations.findIndex((o) => o.code === code);
  const faults = faultsAfter((parts) => {
    at(parts.observations, i).sided = !sided;
  });
  expect(faults).toContainEqual(
    expect.stringMatching(`^observations\\.json#/${i}/sided: the finding of the same name`),
  );
});

describe('a driver', () => {
  test('of two causes without sides joins bodies, nothing else', () => {
    const bodies = new Set(shipped.parts.causes.filter((c) => !c.sided).map((c) => c.code));
    const { index } = found(shipped.parts.drivers, (d) => bodies.has(d.driver) && bodies.has(d.driven));
    const faults = faultsAfter((parts) => {
      at(parts.drivers, index).side = 'opposite';
    });
    expect(faults).toEqual([
      expect.stringMatching(
        `^drivers\\.json#/${index}/side: "opposite" cannot join them: .* it may be body$`,
      ),
    ]);
  });
});
