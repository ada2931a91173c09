/** The whole answer of a squad: complete, explained, safe, and the same in any order and in a mirror. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { assess } from '../../src/assess/assess.ts';
import type { FullAnswer } from '../../src/contract/answer.ts';
import { SquadAnswer, type SquadMember, type SquadRequest } from '../../src/contract/squad.ts';
import { squad } from '../../src/squad/squad.ts';
import { mirror } from '../assess/arbitraries.ts';
import { differences } from '../assess/differences.ts';
import { ruleSet, withoutLooks } from '../assess/front-crawl.ts';
import { squads } from './arbitraries.ts';

type Answer = SquadAnswer;
const ask = (request: SquadRequest): Promise<Answer> => squad(request, ruleSet);
const placed = (answer: Answer) =>
  answer.groups.flatMap((g) => g.members.map((member) => ({ member, group: g })));

async function forSquads(
  check: (request: SquadRequest, answer: Answer) => unknown,
  numRuns = 25,
): Promise<void> {
  await fc.assert(
    fc.asyncProperty(squads(7), async (request) => {
      await check(request, await ask(request));
    }),
    { numRuns },
  );
}

const head = (ref: string, more: Partial<SquadMember> = {}): SquadMember => ({
  swimmer: { ref, level: 'novice' },
  health: { asked: true },
  observations: [
    { code: 'head-held-high', severity: 3, certainty: 'sure' },
    { code: 'hips-low', severity: 2, certainty: 'sure' },
    { code: 'knee-bend-kick', severity: 0, certainty: 'sure' },
  ],
  ...more,
});
const of = (members: SquadMember[], lanes = 1): SquadRequest => ({
  lanes,
  minutes: 45,
  equipment: [],
  members,
});

describe('every answer', () => {
  test('keeps the contract to the letter', async () => {
    await forSquads((_, answer) => expect(SquadAnswer.parse(answer)).toEqual(answer));
  });

  test('places every member once, in a group or apart, with a reason in words', async () => {
    await forSquads((request, answer) => {
      const refs = [...placed(answer).map((p) => p.member.ref), ...answer.apart.map((a) => a.ref)].sort();
      expect(refs).toEqual(request.members.map((m) => m.swimmer.ref).sort());
      for (const { because } of [...placed(answer).map((p) => p.member), ...answer.apart])
        expect(because.text).toMatch(/^[A-Z].*\.$/);
    });
  });

  test('takes out exactly those whom an assessment stops or refers', async () => {
    await forSquads(async (request, answer) => {
      for (const member of request.members) {
        const alone = await assess(withoutLooks(member), ruleSet);
        const apart = answer.apart.find((a) => a.ref === member.swimmer.ref);
        const out = alone.status === 'stop' || alone.status === 'refer';
        expect(apart?.status).toBe(out ? alone.status : undefined);
        if (apart?.status === 'stop') expect([apart.session, apart.drills.length]).toEqual([null, 0]);
      }
    });
  });

  test('has sessions whose minutes add up to those asked for', async () => {
    await forSquads((request, answer) => {
      const sessions = [
        ...answer.groups.map((g) => g.session),
        ...answer.apart.flatMap((a) => a.session ?? []),
      ];
      for (const { minutes, blocks } of sessions) {
        expect(minutes).toBe(request.minutes);
        if (blocks.length > 0) expect(blocks.reduce((sum, b) => sum + b.minutes, 0)).toBe(minutes);
      }
    });
  });

  test('has points that add up, line by line, group by group', async () => {
    await forSquads((_, { groups, grouping }) => {
      for (const points of [...groups.map((g) => g.points), grouping.points]) {
        const { total, ...lines } = points;
        expect(Object.values(lines).reduce((a, b) => a + b, 0)).toBeCloseTo(total, 9);
      }
      for (const line of Object.keys(grouping.points) as (keyof typeof grouping.points)[])
        expect(groups.reduce((sum, g) => sum + g.points[line], 0)).toBeCloseTo(grouping.points[line], 9);
    });
  });
});

describe('the focus of a lane', () => {
  test("is in each swimmer's own focus, or the answer says that it is not and why", async () => {
    await forSquads(async (request, answer) => {
      for (const { member, group } of placed(answer)) {
        const asked = request.members.find((m) => m.swimmer.ref === member.ref) as SquadMember;
        const { focus } = (await assess(withoutLooks(asked), ruleSet)) as FullAnswer;
        const causes = [...new Set(focus.map((f) => f.cause))];
        const at = causes.indexOf(group.focus?.cause ?? '');
        const place = causes.length === 0 ? 'no-focus' : (['first-focus', 'second-focus'][at] ?? 'outside');
        expect(member.place).toBe(place);
        expect(member.because.code).toBe(place);
        // whoever is not in a lane of the first focus is told what stands against it
        if (place === 'second-focus' || place === 'outside')
          expect(member.because.text).toMatch(/No lane works on|Lane \d+ works on/);
      }
    });
  });
});

describe('drills', () => {
  test('that are ruled out for a member are neither in the session of that swimmer nor in the words of the template', async () => {
    await forSquads(async (request, answer) => {
      for (const { member, group } of placed(answer)) {
        const asked = request.members.find((m) => m.swimmer.ref === member.ref) as SquadMember;
        const equipment = request.equipment && {
          equipment: [...new Set([...request.equipment, ...(asked.swimmer.equipment ?? [])])],
        };
        const alone = (await assess(
          withoutLooks({ ...asked, swimmer: { ...asked.swimmer, ...equipment } }),
          ruleSet,
        )) as FullAnswer;
        const out = new Set(alone.excludedDrills.map((d) => d.code));
        const swapped = member.swaps.map((s) => s.drill);
        const done = group.drills.map((d) => d.code).filter((code) => !swapped.includes(code));
        const instead = member.swaps.flatMap((s) => s.instead?.drill ?? []);
        expect([...done, ...instead].filter((code) => out.has(code))).toEqual([]);
        const template = ruleSet.parts.sessions.find((t) => t.code === group.session.template);
        for (const block of template?.blocks ?? []) {
          const words = ruleSet.texts.sessions[group.session.template]?.blocks[block.slot];
          if (block.drills.some((code) => out.has(code)))
            expect(group.session.blocks.flatMap((b) => b.items.map((i) => i.text))).not.toContain(words);
        }
      }
    });
  });

  test('are left out for all where another one serves the focus', async () => {
    const [lane] = (await ask(of([head('a'), head('b')]))).groups;
    const code = lane?.drills[0]?.code as string;
    const refused = head('b', { coach: { rejectDrills: [{ code, because: 'not yet' }] } });
    const [other] = (await ask(of([head('a'), refused]))).groups;
    expect(other?.drills.length).toBeGreaterThan(0);
    expect(other?.drills.map((d) => d.code)).not.toContain(code);
    expect(other?.members[1]?.excludedDrills).toContainEqual({
      code,
      reason: 'refused-by-coach',
      text: ruleSet.texts.exclusions['refused-by-coach'],
    });
  });

  test('that serve the focus and are all ruled out for one member get named alternatives', async () => {
    const serving = ruleSet.parts.drills.filter((d) =>
      d.targets.some((t) => t.cause === 'head-high-habit' && t.effect > 0),
    );
    const rejectDrills = serving.map(({ code }) => ({ code, because: 'not yet' }));
    const [lane] = (await ask(of([head('a'), head('b'), head('c', { coach: { rejectDrills } })]))).groups;
    expect(lane?.drills.length).toBeGreaterThan(0);
    const [, , third] = lane?.members ?? [];
    const forFocus = (lane?.drills ?? []).filter((d) => rejectDrills.some((r) => r.code === d.code));
    expect(forFocus.length).toBeGreaterThan(0);
    expect(third?.swaps.map((s) => s.drill)).toEqual(expect.arrayContaining(forFocus.map((d) => d.code)));
    for (const { instead } of third?.swaps ?? []) {
      expect(rejectDrills.map((r) => r.code)).not.toContain(instead?.drill);
      expect(instead === null || (instead.name !== '' && instead.cue !== '' && instead.dose !== '')).toBe(
        true,
      );
    }
    expect(third?.notes.filter((n) => n.kind === 'drill').length).toBe(third?.swaps.length);
  });
});

describe('notes', () => {
  test("name each swimmer's cautions, aches, side, own cue, remarks and thin record", async () => {
    const sided: SquadMember = {
      swimmer: { ref: 'b', level: 'intermediate', age: 40 },
      health: { asked: true, pain: [{ site: 'shoulder', side: 'right', score: 2 }], conditions: ['asthma'] },
      observations: [
        { code: 'early-exit', side: 'left', severity: 2, certainty: 'sure' },
        { code: 'elbow-lifts-first', side: 'left', severity: 2, certainty: 'sure' },
        { code: 'hips-low', severity: 0, certainty: 'sure' },
        { code: 'little-roll', severity: 0, certainty: 'sure' },
      ],
      coach: { remarks: 'Back since May.' },
    };
    const answer = await ask(of([sided, { swimmer: { ref: 'c', level: 'intermediate' } }]));
    const [first, second] = placed(answer).map((p) => p.member);
    const kinds = (member: typeof first, kind: string) =>
      member?.notes.filter((n) => n.kind === kind).map((n) => n.code) ?? [];
    expect(kinds(first, 'ache')).toEqual(['shoulder-pain-mild']);
    expect(kinds(first, 'side')).toEqual(['left']);
    expect(kinds(first, 'cue')).toHaveLength(1);
    expect(kinds(first, 'caution')).toEqual(
      expect.arrayContaining(['asthma-reliever', 'shoulder-pain-mild']),
    );
    expect(first?.notes.at(-1)).toEqual({ kind: 'coach', code: 'remarks', text: 'Back since May.' });
    expect(kinds(second, 'record')).toHaveLength(1);
    expect(kinds(second, 'caution')).toContain('health-not-asked');
    expect(answer.messages.map((m) => m.code)).toContain('squad-health-not-asked');
    expect(answer.cautions.find((c) => c.code === 'asthma-reliever')?.members).toEqual(['b']);
  });
});

describe('what a coach is told about lanes', () => {
  const aged = (ref: string, age: number, seconds: number): SquadMember =>
    head(ref, {
      swimmer: { ref, level: 'novice', age },
      recording: { pace: 'steady', paceSecondsPer100: seconds },
    });

  test('minors with adults, paces far apart, a crowd, free lanes', async () => {
    const ten = Array.from({ length: 10 }, (_, i) => aged(`s${i}`, i === 0 ? 12 : 30, 100 + 4 * i));
    const [lane] = (await ask({ ...of(ten), equipment: undefined } as SquadRequest)).groups;
    expect(lane?.messages.map((m) => m.code)).toEqual(
      expect.arrayContaining(['squad-ages-differ', 'squad-crowded', 'squad-paces-differ']),
    );
    const few = await ask(of([aged('a', 30, 100), aged('b', 31, 101)], 5));
    expect(few.messages.map((m) => m.code)).toContain('squad-lanes-free');
  });

  test('sizes that cannot be kept', async () => {
    const answer = await ask({
      ...of([head('a'), head('b'), head('c')]),
      options: { groupSize: { max: 2 } },
    });
    expect(answer.messages.map((m) => m.code)).toContain('squad-sizes-not-kept');
    expect(answer.groups.map((g) => g.members.length)).toEqual([3]);
  });

  test('a pace in yards is compared in metres', async () => {
    const yards = aged('y', 30, 91.44);
    const metres = aged('m', 30, 100);
    yards.recording = { ...yards.recording, pool: { length: 25, unit: 'yd' } };
    metres.recording = { ...metres.recording, pool: { length: 25, unit: 'm' } };
    expect((await ask(of([yards, metres]))).grouping.points.paces).toBe(0);
    yards.recording = { ...yards.recording, paceSecondsPer100: 120 };
    expect((await ask(of([yards, metres]))).grouping.points.paces).toBeLessThan(-0.5);
  });
});

describe('a squad of forty', () => {
  const forty = fc.sample(squads(40), { numRuns: 1, seed: 5 })[0] as SquadRequest;
  const pains = ['shoulder-pain-report', 'neck-or-back-complaint'];
  const members = Array.from({ length: 40 }, (_, i): SquadMember => {
    const from = forty.members[i % forty.members.length] as SquadMember;
    const observations = (from.observations ?? []).filter((o) => !pains.includes(o.code));
    return {
      ...from,
      observations,
      health: { asked: true },
      swimmer: { ...from.swimmer, ref: `S-${i}` },
    };
  });

  test.each([
    [6, 6, 7],
    [6, 5, 8],
    [8, 4, 6],
  ])('in %i lanes gives groups of %i to %i', async (lanes, min, max) => {
    const answer = await ask({ lanes, minutes: 60, options: { groupSize: { min, max } }, members });
    const sizes = answer.groups.map((g) => g.members.length);
    expect(sizes.reduce((a, b) => a + b, 0)).toBe(40);
    expect(answer.messages.map((m) => m.code)).not.toContain('squad-sizes-not-kept');
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(min);
    expect(Math.max(...sizes)).toBeLessThanOrEqual(max);
    expect(answer.groups.map((g) => g.lane)).toEqual(answer.groups.map((_g, i) => i + 1));
  });
});

describe('order and sides', () => {
  test('the order of members and of their lists does not matter, to the byte', async () => {
    await forSquads(async (request, answer) => {
      const turned = {
        ...request,
        members: [...request.members].reverse().map((m) => ({
          ...m,
          observations: [...(m.observations ?? [])].reverse(),
        })),
        ...(request.equipment === undefined ? {} : { equipment: [...request.equipment].reverse() }),
      };
      expect(JSON.stringify(await ask(turned))).toBe(JSON.stringify(answer));
    });
  });

  test('a mirrored squad gets the mirrored answer', async () => {
    // where two sides stand level, a list has to name one of them first
    const level = (value: unknown): unknown => {
      if (Array.isArray(value))
        return value
          .map(level)
          .sort((a, b) => (JSON.stringify(a).localeCompare(JSON.stringify(b)) < 0 ? -1 : 1));
      if (value === null || typeof value !== 'object') return value;
      return Object.fromEntries(
        Object.entries(value).map(([key, v]) => [
          key,
          typeof v === 'number' ? Number(v.toFixed(6)) : level(v),
        ]),
      );
    };
    const still = ({ decisionId: _, ...answer }: Answer) => level(answer);
    await forSquads(async (request, answer) => {
      const mirrored = await ask(mirror(request as never) as never as SquadRequest);
      const expected = mirror(answer as never) as never as Answer;
      expect(differences(still(mirrored), still(expected), 1e-5)).toEqual([]);
    });
  });

  test('another squad has another id', async () => {
    const one = await ask(of([head('a'), head('b')]));
    const other = await ask(of([head('a'), head('c')]));
    expect(one.decisionId).toMatch(/^sha-256:[0-9a-f]{64}$/);
    expect(other.decisionId).not.toBe(one.decisionId);
  });
});
