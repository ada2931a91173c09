import { describe, expect, test } from 'vitest';
import { at, type copyOfParts, type copyOfTexts, faultsAfter, found, shipped } from './shipped.ts';

type Draft = ReturnType<typeof copyOfParts>;
type Change = (parts: Draft, texts: ReturnType<typeof copyOfTexts>) => void;

const parts = shipped.parts;
const where = {
  seen: found(parts.reports, (r) => r.event.params.kind !== 'seen').index,
  mechanism: found(parts.causes, (c) => c.role === 'mechanism').index,
  root: found(parts.causes, (c) => c.role === 'root').index,
  story: found(
    parts.drivers,
    (d) => !d.infer && parts.causes.some((c) => c.code === d.driven && c.role === 'root'),
  ).index,
  select: found(parts['principle-rules'], (r) => {
    const e = r.event.params;
    return 'select' in e && e.select.causes !== undefined;
  }).index,
  ask: found(parts['principle-rules'], (r) => r.event.params.effect === 'ask').index,
  order: found(parts['principle-rules'], (r) => r.event.params.effect === 'driver-first').index,
};
const NO = 'no-such';
const background = Object.keys(parts.constants.words.background).join(', ');
const prior = Object.keys(parts.constants.words.prior).join(', ');
const shows = Object.keys(parts.constants.words.shows).join(', ');
const strength = Object.keys(parts.constants.words.strength).join(', ');
const not = (words: string): string => `"${NO}" is not one of the words ${words}`;
const unknown = (what: string): string => `"${NO}" is not a known ${what}`;

/** Sets one field that a schema may know in one variant only. */
const set =
  (get: (draft: Draft) => object, field: string, value: unknown = NO): Change =>
  (draft) => {
    Object.assign(get(draft), { [field]: value });
  };

const driven = at(parts.drivers, where.story).driven;
const FAULTS: readonly (readonly [what: string, change: Change, fault: string])[] = [
  [
    'a quality flag caps an unknown finding',
    set((d) => at(at(d['quality-flags'], 0).caps, 0).findings, '0'),
    `quality-flags.json#/0/caps/0/findings/0: ${unknown('finding')}`,
  ],
  [
    'a finding has an unknown background',
    set((d) => at(d.findings, -1), 'background'),
    `findings.json#/${parts.findings.length - 1}/background: ${not(background)}`,
  ],
  [
    'a report is on an unknown finding',
    set((d) => at(d.reports, where.seen).event.params, 'finding'),
    `reports.json#/${where.seen}/event/params/finding: ${unknown('finding')}`,
  ],
  [
    'a mechanism has no background',
    (d) => {
      delete at(d.causes, where.mechanism).background;
    },
    `causes.json#/${where.mechanism}: a mechanism needs a background word`,
  ],
  [
    'a root cause has no prior',
    (d) => {
      delete at(d.causes, where.root).prior;
    },
    `causes.json#/${where.root}: a cause needs prior words`,
  ],
  [
    'a mechanism has an unknown background',
    set((d) => at(d.causes, where.mechanism), 'background'),
    `causes.json#/${where.mechanism}/background: ${not(background)}`,
  ],
  ...(['novice', 'intermediate', 'advanced'] as const).map(
    (level) =>
      [
        `a cause has an unknown prior for ${level}`,
        set((d) => at(d.causes, where.root).prior ?? {}, level),
        `causes.json#/${where.root}/prior/${level}: ${not(prior)}`,
      ] as const,
  ),
  [
    'a cause has a time band without ease',
    set((d) => at(d.causes, 0), 'timeBand'),
    `causes.json#/0/timeBand: "${NO}" has no ease in the constants`,
  ],
  [
    'a link is to an unknown cause',
    set((d) => at(d.links, 0).event.params, 'cause'),
    `links.json#/0/event/params/cause: ${unknown('cause')}`,
  ],
  [
    'a link is from an unknown finding',
    set((d) => at(d.links, 0).event.params, 'finding'),
    `links.json#/0/event/params/finding: ${unknown('finding')}`,
  ],
  [
    'a link has an unknown strength',
    set((d) => at(d.links, 0).event.params, 'shows'),
    `links.json#/0/event/params/shows: ${not(shows)}`,
  ],
  [
    'a driver is unknown',
    set((d) => at(d.drivers, where.story), 'driver'),
    `drivers.json#/${where.story}/driver: ${unknown('cause')}`,
  ],
  [
    'what a driver drives is unknown',
    set((d) => at(d.drivers, 0), 'driven'),
    `drivers.json#/0/driven: ${unknown('cause')}`,
  ],
  [
    'a driver has an unknown strength',
    set((d) => at(d.drivers, 0), 'shows'),
    `drivers.json#/0/shows: ${not(shows)}`,
  ],
  [
    'a driver of a root cause counts in the network',
    set((d) => at(d.drivers, where.story), 'infer', true),
    `drivers.json#/${where.story}/infer: only a driver of a mechanism counts in the network; "${driven}" is a root cause`,
  ],
  [
    'a modifier is of an unknown cause',
    set((d) => at(d.modifiers, 0).event.params, 'cause'),
    `modifiers.json#/0/event/params/cause: ${unknown('cause')}`,
  ],
  [
    'a modifier has an unknown strength',
    set((d) => at(d.modifiers, 0).event.params, 'strength'),
    `modifiers.json#/0/event/params/strength: ${not(strength)}`,
  ],
  [
    'a deduction is for an unknown finding',
    set((d) => at(d.deductions, 0).event.params, 'finding'),
    `deductions.json#/0/event/params/finding: ${unknown('finding')}`,
  ],
  [
    'a deduction replaces an unknown finding',
    set((d) => at(d.deductions, 0).event.params, 'replaces', [NO]),
    `deductions.json#/0/event/params/replaces/0: ${unknown('finding')}`,
  ],
  [
    'a rule is of an unknown principle',
    set((d) => at(d['principle-rules'], 0).event.params, 'principle'),
    `principle-rules.json#/0/event/params/principle: ${unknown('principle')}`,
  ],
  [
    'a principle selects an unknown cause',
    set((d) => (at(d['principle-rules'], where.select).event.params as { select: object }).select, 'causes', [
      NO,
    ]),
    `principle-rules.json#/${where.select}/event/params/select/causes/0: ${unknown('cause')}`,
  ],
  [
    'a principle asks for an unknown look',
    set((d) => at(d['principle-rules'], where.ask).event.params, 'look'),
    `principle-rules.json#/${where.ask}/event/params/look: ${unknown('observation')}`,
  ],
  [
    'a principle spares an unknown cause',
    set(
      (d) => (at(d['principle-rules'], where.select).event.params as { select: object }).select,
      'causesOtherThan',
      [NO],
    ),
    `principle-rules.json#/${where.select}/event/params/select/causesOtherThan/0: ${unknown('cause')}`,
  ],
  [
    'a change limit is of an unknown measurement',
    (d, { changeLimits }) => {
      const limit = at(d['change-limits'], 0);
      changeLimits[NO] = changeLimits[limit.code] as string;
      delete changeLimits[limit.code];
      limit.code = NO;
    },
    `change-limits.json#/0/code: ${unknown('measurement')}`,
  ],
  ...(['strongShows', 'weakShows'] as const).map(
    (field) =>
      [
        `a principle orders by an unknown ${field}`,
        set((d) => at(d['principle-rules'], where.order).event.params, field),
        `principle-rules.json#/${where.order}/event/params/${field}: ${not(shows)}`,
      ] as const,
  ),
  [
    'a drill targets an unknown cause',
    (d) => at(d.drills, 0).targets.push({ cause: NO, effect: 1 }),
    `drills.json#/0/targets/${at(shipped.parts.drills, 0).targets.length}/cause: ${unknown('cause')}`,
  ],
  [
    'a drill needs an unknown drill first',
    set((d) => at(d.drills, 0), 'prerequisites', [NO]),
    `drills.json#/0/prerequisites/0: ${unknown('drill')}`,
  ],
  [
    'a drill has an unknown caution',
    set((d) => at(d.drills, 0), 'cautions', [NO]),
    `drills.json#/0/cautions/0: ${unknown('caution')}`,
  ],
  [
    'a drill leads on to an unknown drill',
    set((d) => at(d.drills, 0), 'progression'),
    `drills.json#/0/progression: ${unknown('drill')}`,
  ],
  [
    'a drill leads back to an unknown drill',
    set((d) => at(d.drills, 0), 'regression'),
    `drills.json#/0/regression: ${unknown('drill')}`,
  ],
  [
    'a plan of work names an unknown drill',
    set((d) => at(at(d.sessions, 0).blocks, 1), 'drills', [NO]),
    `sessions.json#/0/blocks/1/drills/0: ${unknown('drill')}`,
  ],
  [
    'an exclusion has an unknown drill',
    set((d) => at(d['drill-exclusions'], 0).event.params, 'drill'),
    `drill-exclusions.json#/0/event/params/drill: ${unknown('drill')}`,
  ],
  [
    'an exclusion has a variable that nothing fills in',
    set((d) => at(d['drill-exclusions'], 0).event.params, 'drill', '$drlil'),
    'drill-exclusions.json#/0/event: nothing fills in "$drlil"',
  ],
  [
    'a background is a word of the language and not of the rule set',
    set((d) => at(d.findings, -1), 'background', 'constructor'),
    `findings.json#/${parts.findings.length - 1}/background: "constructor" is not one of the words ${background}`,
  ],
  [
    'a gate rule has an unknown caution',
    set((d) => at(d['gate-rules'], 0).event.params, 'caution'),
    `gate-rules.json#/0/event/params/caution: ${unknown('caution')}`,
  ],
  [
    'a gate rule restricts an unknown body part',
    set((d) => at(d['gate-rules'], 0).event.params, 'restricts', ['knee', NO]),
    `gate-rules.json#/0/event/params/restricts/1: ${unknown('body part')}`,
  ],
  [
    'a caution rule has an unknown caution',
    set((d) => at(d['caution-rules'], 0).event.params, 'caution'),
    `caution-rules.json#/0/event/params/caution: ${unknown('caution')}`,
  ],
];

describe('references between the parts', () => {
  test.each(FAULTS)('%s', (_, change, fault) => {
    expect(faultsAfter(change)).toEqual([fault]);
  });
});
