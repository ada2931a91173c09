/** What has to stay the same from film to film, as far as it was written down. */
import { viewsOf } from '../assess/facts.ts';
import { phrase } from '../assess/phrases.ts';
import type { Checkpoint } from '../contract/plan.ts';
import type { Work } from './work.ts';

export function setUpOf({ record, ruleSet }: Work): Checkpoint['setUp'] {
  const { pool, pace, paceSecondsPer100, suit, cycles } = record.recording;
  const seconds =
    paceSecondsPer100 === undefined
      ? undefined
      : phrase(ruleSet, 'plan-value-pace-seconds', {
          pace: pace === undefined ? '' : `${pace}, `,
          seconds: String(paceSecondsPer100),
        });
  const values: [code: string, value: string | undefined][] = [
    [
      'pool',
      pool === undefined
        ? undefined
        : pool === null
          ? phrase(ruleSet, 'plan-value-open-water')
          : `${pool.length} ${pool.unit}`,
    ],
    ['pace', seconds ?? pace],
    [
      'views',
      viewsOf(record)
        ?.filter((v) => v !== 'self-report')
        .map((v) => phrase(ruleSet, `view-${v}`))
        .join(', '),
    ],
    ['suit', suit],
    ['cycles', cycles === undefined ? undefined : String(cycles)],
  ];
  return values.map(([code, value]) => {
    const label = phrase(ruleSet, `plan-setup-${code}`);
    const known = value !== undefined && value !== '';
    return {
      code,
      value: known ? value : null,
      text: phrase(ruleSet, known ? 'plan-setup-known' : 'plan-setup-unknown', { label, value: value ?? '' }),
    };
  });
}
