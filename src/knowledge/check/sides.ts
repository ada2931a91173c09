/** What has a left and a right, and what a rule may say of it: another pairing would silently mean nothing. */
import type { Parts } from '../parts.ts';
import { each, type Report } from './report.ts';

/** The side rules that join a parent to a child, by whether each has sides. */
const SIDE_RULES: Readonly<Record<string, readonly string[]>> = {
  'arm to arm': ['same', 'opposite', 'both'],
  'body to arm': ['stronger', 'both'],
  'arm to body': ['both'],
  'body to body': ['body'],
};

const half = (sided: boolean): string => (sided ? 'arm' : 'body');

export function checkSides(parts: Parts, report: Report): void {
  const sidedCause = new Map(parts.causes.map((c) => [c.code, c.sided]));
  const sidedFinding = new Map(parts.findings.map((f) => [f.code, f.sided]));
  const params = ['event', 'params'];

  const checkPair = (
    file: string,
    path: readonly PropertyKey[],
    from: { code: string; sided: boolean | undefined },
    to: { code: string; sided: boolean | undefined },
    side: string,
    allowed = SIDE_RULES,
  ): void => {
    if (from.sided === undefined || to.sided === undefined) return; // unknown codes are named elsewhere
    const fitting = allowed[`${half(from.sided)} to ${half(to.sided)}`] ?? [];
    if (fitting.includes(side)) return;
    const has = (x: typeof from): string => `"${x.code}" ${x.sided ? 'has sides' : 'has no sides'}`;
    report(
      'wrong-side',
      file,
      path,
      `"${side}" cannot join them: ${has(from)} and ${has(to)}; it may be ${fitting.join(' or ')}`,
      { suggestions: fitting },
    );
  };
  const checkScope = (file: string, i: number, scope: string, sided: boolean, why: string): void => {
    const wanted = half(sided);
    if (scope !== wanted && scope !== '$scope')
      report('wrong-side', file, [i, 'scope'], `must be "${wanted}": ${why}`, { suggestions: [wanted] });
  };

  each(parts.observations, (o, i) => {
    const finding = sidedFinding.get(o.code);
    if (finding !== undefined && finding !== o.sided)
      report(
        'wrong-side',
        'observations',
        [i, 'sided'],
        `the finding of the same name ${finding ? 'has' : 'has no'} sides`,
      );
  });
  each(parts.links, (l, i) => {
    const { cause, finding, side } = l.event.params;
    const [from, to] = [sidedCause.get(cause), sidedFinding.get(finding)];
    checkPair(
      'links',
      [i, ...params, 'side'],
      { code: cause, sided: from },
      { code: finding, sided: to },
      side,
    );
    if (from !== undefined && to !== undefined)
      checkScope(
        'links',
        i,
        l.scope,
        from || to,
        `"${cause}" or "${finding}" says whether there are two arms`,
      );
  });
  each(parts.drivers, (d, i) => {
    const from = { code: d.driver, sided: sidedCause.get(d.driver) };
    const to = { code: d.driven, sided: sidedCause.get(d.driven) };
    // an arm drives its own side only
    checkPair('drivers', [i, 'side'], from, to, d.side, {
      ...SIDE_RULES,
      'arm to arm': ['same'],
      'body to arm': ['stronger'],
    });
  });
  each(parts.modifiers, (m, i) => {
    const { cause } = m.event.params;
    const sided = sidedCause.get(cause);
    if (sided !== undefined)
      checkScope('modifiers', i, m.scope, sided, `"${cause}" ${sided ? 'has sides' : 'has no sides'}`);
  });
  each(parts.reports, (r, i) => {
    const { finding } = r.event.params;
    if (sidedFinding.get(finding) === true)
      checkScope('reports', i, r.scope, true, `the finding "${finding}" has sides`);
  });
  each(parts.deductions, (d, i) => {
    const { finding } = d.event.params;
    const sided = sidedFinding.get(finding);
    if (sided === undefined) return;
    if (sided) checkScope('deductions', i, d.scope, true, 'each arm loses its own shares');
    else
      report(
        'wrong-side',
        'deductions',
        [i, ...params, 'finding'],
        `"${finding}" has no sides: only what one arm does can cost that arm a share`,
      );
  });
}
