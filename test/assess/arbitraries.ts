/** Random records in the rule set's own words, each valid for the contract and the vocabulary. */
import fc, { type Arbitrary } from 'fast-check';
import { CERTAINTIES, GOALS, LEVELS, VIEWS } from '../../src/contract/common.ts';
import type { AssessmentRequest } from '../../src/contract/request.ts';
import { ruleSet } from './front-crawl.ts';

export { mirror, mirrorAnswer } from './mirror.ts';

type Part<K extends keyof AssessmentRequest> = NonNullable<AssessmentRequest[K]>;
type Sighting = Part<'observations'>[number];
type Reading = Part<'measurements'>[number];

const { lists, links, causes, drills } = ruleSet.parts;
const certainty = fc.constantFrom(...CERTAINTIES);
const observer = fc.constantFrom('A', 'B', 'C');
const clip = fc.constantFrom('c1', 'c2');
const someOf = <T>(values: readonly T[], maxLength: number): Arbitrary<T[]> =>
  fc.uniqueArray(fc.constantFrom(...values), { maxLength });

// ---------------------------------------------------------------- what was seen and measured

const bySide = {
  sided: fc.constantFrom('left' as const, 'right' as const, 'both' as const),
  body: fc.constantFrom('body' as const, undefined),
};

/** Leaves `undefined` fields out: a missing field and a field without a value are the same record. */
function compact<T extends object>(value: T): T {
  return Object.fromEntries(Object.entries(value).filter(([, v]) => v !== undefined)) as T;
}

export function sighting(code: string, severities: readonly number[] = [0, 1, 2, 3]): Arbitrary<Sighting> {
  const entry = ruleSet.observations.get(code);
  if (entry === undefined) throw new Error(`no observation ${code}`);
  return fc
    .record(
      {
        code: fc.constant(code),
        severity: fc.constantFrom(...severities),
        side: entry.sided ? bySide.sided : bySide.body,
        certainty,
        view: fc.oneof({ weight: 4, arbitrary: fc.constantFrom(...entry.views) }, fc.constantFrom(...VIEWS)),
        clip,
        observer,
        cycles: fc.integer({ min: 1, max: 12 }),
      },
      { requiredKeys: ['code', 'severity', 'side'] },
    )
    .map(compact);
}

const anySighting = fc.constantFrom(...ruleSet.observations.keys()).chain((code) => sighting(code));

/** What a swimmer with this cause shows: random faults alone seldom point the same way. */
const picture = fc.constantFrom(...causes.map((c) => c.code)).chain((cause): Arbitrary<Sighting[]> => {
  const shown = links
    .filter((l) => l.event.params.cause === cause && ruleSet.observations.has(l.event.params.finding))
    .map((l) => l.event.params.finding);
  if (shown.length === 0) return fc.constant([]);
  return someOf(shown, 5).chain((codes) =>
    fc.tuple(...codes.map((code) => sighting(code, [0, 1, 2, 2, 3, 3]))),
  );
});

export const observations: Arbitrary<Sighting[]> = fc
  .tuple(fc.array(picture, { maxLength: 4 }), fc.array(anySighting, { maxLength: 12 }))
  .map(([pictures, rest]) => [...pictures.flat(), ...rest]);

/** Numbers as they are written down: a plain double is nearly always next to nothing. */
const hundredths = (min: number, max: number): Arbitrary<number> =>
  fc.integer({ min: Math.ceil(min * 100), max: Math.floor(max * 100) }).map((n) => n / 100);

const reading: Arbitrary<Reading> = fc.constantFrom(...ruleSet.parts.measurements).chain((m) =>
  fc
    .record(
      {
        code: fc.constant(m.code),
        value: hundredths(m.possible.min, m.possible.max),
        side: m.sided
          ? fc.constantFrom('left' as const, 'right' as const, undefined)
          : fc.constantFrom('body' as const, undefined),
        unit: fc.constant(m.unit),
        certainty,
        view: fc.constantFrom(...VIEWS),
        clip,
        observer,
        standardDeviation: hundredths(0, 5),
      },
      { requiredKeys: ['code', 'value', 'side'] },
    )
    .map(compact),
);

/** `pain` is left out: it belongs to the health gate. */
export const measurements: Arbitrary<Reading[]> = fc.array(
  reading.filter((m) => m.code !== 'pain'),
  { maxLength: 6 },
);

// ---------------------------------------------------------------- swimmer, health, film

export const swimmer: Arbitrary<AssessmentRequest['swimmer']> = fc.record(
  {
    level: fc.constantFrom(...LEVELS),
    age: fc.integer({ min: 6, max: 90 }),
    goal: fc.constantFrom(...GOALS),
    equipment: someOf(lists.equipment, lists.equipment.length),
    deepWaterCompetent: fc.boolean(),
    weeksToRace: fc.integer({ min: 0, max: 30 }),
    metresPerWeek: fc.integer({ min: 0, max: 40_000 }),
    metresPerWeekBefore: fc.integer({ min: 0, max: 40_000 }),
    heightM: hundredths(1.2, 2.1),
    ref: fc.constantFrom('S-01', 'S-02'),
  },
  { requiredKeys: ['level'] },
);

export const pain = fc.record(
  {
    site: fc.constantFrom(...lists.painSites),
    side: fc.constantFrom('left' as const, 'right' as const),
    score: fc.integer({ min: 0, max: 10 }),
    features: someOf(lists.painFeatures, 2),
  },
  { requiredKeys: ['site', 'score'] },
);

const asked = fc.constant(true);
const anyHealth: Arbitrary<Part<'health'>> = fc.record(
  {
    asked: fc.boolean(),
    signs: fc.oneof({ weight: 5, arbitrary: fc.constant<string[]>([]) }, someOf(lists.healthSigns, 2)),
    pain: fc.array(pain, { maxLength: 2 }),
    conditions: someOf(lists.conditions, 2),
    pregnancyWeek: fc.integer({ min: 0, max: 42 }),
    clinicianAgrees: fc.boolean(),
    minorConsentOnFile: fc.boolean(),
  },
  { requiredKeys: ['asked'] },
);
export const health: Arbitrary<AssessmentRequest['health']> = fc.oneof(
  { weight: 3, arbitrary: fc.constant(undefined) },
  { weight: 5, arbitrary: fc.record({ asked }) },
  { weight: 2, arbitrary: fc.record({ asked, pain: fc.array(pain, { minLength: 1, maxLength: 2 }) }) },
  { weight: 2, arbitrary: anyHealth },
);

export const recording: Arbitrary<Part<'recording'>> = fc.record(
  {
    views: someOf(VIEWS, VIEWS.length),
    clips: fc.array(fc.record({ id: clip, view: fc.constantFrom(...VIEWS) }), { maxLength: 3 }),
    cycles: fc.integer({ min: 1, max: 6 }),
    pace: fc.constantFrom('easy' as const, 'steady' as const, 'race' as const),
    pool: fc.constantFrom(null, { length: 25, unit: 'm' as const }, { length: 25, unit: 'yd' as const }),
    suit: fc.constantFrom('swimwear' as const, 'wetsuit' as const),
    framesPerSecond: fc.constantFrom(25, 50, 120),
    flags: someOf([...ruleSet.flags.keys()], 2),
    defaults: fc.record({ certainty }),
  },
  { requiredKeys: [] },
);

// ---------------------------------------------------------------- the coach's choices, the whole request

export const causeChoice = fc
  .constantFrom(...causes)
  .chain(({ code, sided }) =>
    (sided
      ? fc.constantFrom('left' as const, 'right' as const, 'both' as const, undefined)
      : bySide.body
    ).map((side) => compact({ cause: code, side })),
  );
const because = fc.constantFrom('seen it before', 'not this swimmer');

export const coach: Arbitrary<AssessmentRequest['coach']> = fc.option(
  fc.record(
    {
      focus: fc.uniqueArray(causeChoice, { maxLength: 2, selector: (c) => c.cause }),
      rejectCauses: fc.array(
        fc.tuple(causeChoice, because).map(([choice, why]) => ({ ...choice, because: why })),
        { maxLength: 3 },
      ),
      rejectDrills: fc.array(fc.record({ code: fc.constantFrom(...drills.map((d) => d.code)), because }), {
        maxLength: 4,
      }),
      remarks: fc.constant('remarks'),
    },
    { requiredKeys: [] },
  ),
  { nil: undefined, freq: 1 },
);

export const options: Arbitrary<Part<'options'>> = fc.record(
  {
    explain: fc.constantFrom('lines' as const, 'full' as const),
    drills: fc.integer({ min: 0, max: 10 }),
    sessionMinutes: fc.integer({ min: 15, max: 180 }),
    nextLooks: fc.constant(0),
  },
  { requiredKeys: ['nextLooks'] },
);

type Arbitraries = { readonly [K in keyof AssessmentRequest]?: Arbitrary<AssessmentRequest[K]> };

/** An entry may only name a clip that the recording lists. */
function withListedClips(request: AssessmentRequest): AssessmentRequest {
  const listed = new Set(request.recording?.clips?.map((c) => c.id));
  const listedOnly = <T extends { clip?: string | undefined }>(entries: readonly T[] = []): T[] =>
    entries.map(
      ({ clip: id, ...rest }) => (id !== undefined && listed.has(id) ? { ...rest, clip: id } : rest) as T,
    );
  return {
    ...request,
    observations: listedOnly(request.observations),
    measurements: listedOnly(request.measurements),
  };
}

/** Requests without next looks; `parts` replaces the arbitrary of a part. */
export function requests(parts: Arbitraries = {}): Arbitrary<AssessmentRequest> {
  return fc
    .record({ swimmer, health, recording, observations, measurements, coach, options, ...parts })
    .map((request) => withListedClips(compact(request) as AssessmentRequest));
}
