/** A squad from a spreadsheet: what each cell becomes, and where each mistake stands. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { NotATable, readTable, type Table } from '../../src/squad/spreadsheet/read.ts';
import { ruleSet } from '../assess/front-crawl.ts';

const read = (text: string, mark: 'point' | 'comma' = 'point'): Table => readTable(text, ruleSet, mark);
const one = (header: string, cells: string): unknown => read(`${header}\n${cells}`).members[0];
const places = (table: Table): string[] => table.errors.map((e) => `${e.row} ${e.column ?? '-'} ${e.code}`);

describe('cells', () => {
  test('of every kind become the fields of a record', () => {
    const columns = {
      ref: 'S-1',
      level: 'Novice',
      age: '41',
      goal: 'fitness',
      'height-m': '1.78',
      equipment: '"fins, board"',
      'deep-water': 'TRUE',
      'health-asked': 'yes',
      signs: 'none',
      conditions: 'asthma pregnant',
      'pain:shoulder@left': '2.5',
      'pain-features:shoulder@left': 'at-night',
      'pain:back': '1',
      views: 'side-under overhead',
      pool: '25 yd',
      certainty: 'sure',
      'obs:head-held-high': '2',
      'obs:dropped-elbow-catch@both': '3 likely',
      'm:stroke-rate': '30.5',
      'm:entry-offset@right': '-4 unsure',
      focus: 'head-high-habit dropped-elbow-habit@left',
      remarks: '"=1+1, ""quoted""\nsecond line"',
    };
    expect(one(Object.keys(columns).join(','), Object.values(columns).join(','))).toEqual({
      swimmer: {
        ref: 'S-1',
        level: 'novice',
        age: 41,
        goal: 'fitness',
        heightM: 1.78,
        equipment: ['fins', 'board'],
        deepWaterCompetent: true,
      },
      health: {
        asked: true,
        signs: [],
        conditions: ['asthma', 'pregnant'],
        pain: [
          { site: 'shoulder', side: 'left', score: 2.5, features: ['at-night'] },
          { site: 'back', score: 1 },
        ],
      },
      recording: {
        views: ['side-under', 'overhead'],
        pool: { length: 25, unit: 'yd' },
        defaults: { certainty: 'sure' },
      },
      observations: [
        { code: 'head-held-high', severity: 2 },
        { code: 'dropped-elbow-catch', side: 'both', severity: 3, certainty: 'likely' },
      ],
      measurements: [
        { code: 'stroke-rate', value: 30.5 },
        { code: 'entry-offset', side: 'right', value: -4, certainty: 'unsure' },
      ],
      coach: {
        focus: [{ cause: 'head-high-habit' }, { cause: 'dropped-elbow-habit', side: 'left' }],
        remarks: '=1+1, "quoted"\nsecond line',
      },
    });
  });

  test('that are empty are not looked at, and empty rows are nobody', () => {
    const table = read('ref,level,obs:hips-low,obs:little-roll\n,,,\nS-1,novice,,0\n,,,\n');
    expect(table.members).toEqual([
      { swimmer: { ref: 'S-1', level: 'novice' }, observations: [{ code: 'little-roll', severity: 0 }] },
    ]);
    // rows count as the spreadsheet counts them
    expect(table.placeOf('/members/0/observations/0/severity')).toEqual({
      row: 3,
      column: 'obs:little-roll',
    });
  });

  test.each([
    ['age', 'x', 'wrong-form'],
    ['age', '4 1', 'wrong-form'],
    ['age', '=41', 'wrong-form'],
    ['age', '+41', 'wrong-form'],
    ['age', '1e1', 'wrong-form'],
    ['height-m', '1.7.8', 'wrong-form'],
    ['height-m', '"1,78"', 'decimal-mark'],
    ['metres-per-week', '"6,000.5"', 'wrong-form'],
    ['health-asked', 'maybe', 'wrong-form'],
    ['pool', '25', 'wrong-form'],
    ['pool', '25 ft', 'wrong-form'],
    ['obs:hips-low', '4', 'wrong-form'],
    ['obs:hips-low', '2.0', 'wrong-form'],
    ['obs:hips-low', '2 surely', 'wrong-form'],
    ['m:stroke-rate', '30 cycles', 'wrong-form'],
    ['pain:shoulder@left', 'a lot', 'wrong-form'],
  ])('%s: %s is refused as %s', (column, cell, code) => {
    expect(places(read(`ref,level,${column}\nS-1,novice,${cell}`))).toEqual([`2 ${column} ${code}`]);
  });

  test('with a decimal comma are read when that is said, and then no others', () => {
    const text = 'ref;level;height-m;m:stroke-rate\nS-1;novice;1,78;30,5 sure\nS-2;novice;1.78;30';
    const table = read(text, 'comma');
    expect(table.members[0]).toMatchObject({
      swimmer: { heightM: 1.78 },
      measurements: [{ value: 30.5, certainty: 'sure' }],
    });
    expect(places(table)).toEqual(['3 height-m decimal-mark']);
    expect(places(read(text))).toEqual(['2 height-m decimal-mark', '2 m:stroke-rate decimal-mark']);
  });
});

describe('the header', () => {
  test.each([
    [',', ',', '\n'],
    ['semicolons', ';', '\r\n'],
    ['tabs', '\t', '\n'],
  ])('says how cells are divided: %s', (_, mark, end) => {
    const text = [
      ['ref', 'level', 'remarks'],
      ['S-1', 'novice', '"a,b;c"'],
    ];
    expect(read(text.map((row) => row.join(mark)).join(end)).members).toEqual([
      { swimmer: { ref: 'S-1', level: 'novice' }, coach: { remarks: 'a,b;c' } },
    ]);
  });

  test.each([
    ['levl', 'unknown-column'],
    ['obs:hips-lo', 'unknown-column'],
    ['obs:', 'unknown-column'],
    ['stroke-rate', 'unknown-column'],
    ['constructor', 'unknown-column'],
    ['constructor:a', 'unknown-column'],
    ['obs:constructor', 'unknown-column'],
    ['obs:dropped-elbow-catch', 'side-required'],
    ['obs:hips-low@left', 'impossible-side'],
    ['obs:dropped-elbow-catch@up', 'impossible-side'],
    ['m:entry-offset@both', 'impossible-side'],
    ['pain:head', 'unknown-column'],
    ['REF', 'repeated-column'],
  ])('%s is refused as %s, once for the whole column', (column, code) => {
    const table = read(`ref,level,${column}\nS-1,novice,1\nS-2,novice,2`);
    expect(places(table)).toEqual([`1 ${column} ${code}`]);
  });

  test('suggests the nearest known words', () => {
    const [level, code] = read('ref,levle,obs:head-held-hihg').errors;
    expect(level?.suggestions?.[0]).toBe('level');
    expect(code?.suggestions?.[0]).toBe('head-held-high');
  });

  test('without a name stands for nothing, and its cells must be empty', () => {
    expect(places(read('ref,level,\nS-1,novice,'))).toEqual([]);
    expect(places(read('ref,level,\nS-1,novice,x'))).toEqual(['2 - unknown-column']);
  });
});

describe('rows', () => {
  test('of another length than the header are refused, save for empty cells at the end', () => {
    expect(places(read('ref,level\nS-1,novice,,\nS-2\nS-3,novice,x'))).toEqual([
      '3 - wrong-length',
      '4 - wrong-length',
    ]);
  });

  test('beyond the limit are seen to be too many', () => {
    const text = `ref,level\n${Array.from({ length: 600 }, (_, i) => `S-${i},novice`).join('\n')}`;
    expect(read(text).members.length).toBe(501);
  });

  test('with an open quotation mark, and no rows at all, are no table', () => {
    expect(() => read('ref,level\n"S-1,novice')).toThrow(NotATable);
    expect(() => read('')).toThrow(NotATable);
    expect(() => read(Array.from({ length: 1001 }, (_, i) => `c${i}`).join(','))).toThrow(NotATable);
    expect(() => read(`ref,${'x'.repeat(300_000)}`)).toThrow(NotATable);
  });
});

test('any text is read or refused, never worse', () => {
  const cell = fc.oneof(
    fc.string(),
    fc.constantFrom(
      'ref',
      'level',
      'obs:hips-low',
      'm:',
      'pain:back',
      '"',
      '""',
      ';',
      '\t',
      '\r\n',
      '2 sure',
      '=1',
    ),
  );
  const text = fc.array(
    fc.array(cell, { maxLength: 6 }).map((row) => row.join(',')),
    { maxLength: 6 },
  );
  fc.assert(
    fc.property(text, (rows) => {
      try {
        const table = read(rows.join('\n'));
        for (const e of table.errors) expect(e.row).toBeGreaterThan(0);
      } catch (error) {
        expect(error).toBeInstanceOf(NotATable);
      }
    }),
  );
});

test('a plain table written with quotation marks comes back as it was', () => {
  const value = fc.string({ minLength: 1 }).filter((s) => s.trim() !== '');
  fc.assert(
    fc.property(fc.array(fc.tuple(value, value), { minLength: 1, maxLength: 5 }), (rows) => {
      // RFC 4180 section 2.7: a quotation mark inside quotation marks is doubled
      const quoted = (cell: string): string => `"${cell.replaceAll('"', '""')}"`;
      const text = ['ref,level,remarks', ...rows.map(([r, m]) => `${quoted(r)},novice,${quoted(m)}`)].join(
        '\r\n',
      );
      expect(read(text).members).toEqual(
        rows.map(([ref, remarks]) => ({
          swimmer: { ref: ref.trim(), level: 'novice' },
          coach: { remarks: remarks.trim() },
        })),
      );
    }),
  );
});
