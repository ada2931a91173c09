/** RFC 8785, JSON Canonicalization Scheme: the vectors that stand in its text. */
import { createHash } from 'node:crypto';
import canonicalize from 'canonicalize';
import { describe, expect, test } from 'vitest';
import { digestOf } from '../../src/knowledge/digest.ts';

/** The number with these 64 bits, as appendix B writes it. */
function double(hex: string): number {
  const view = new DataView(new ArrayBuffer(8));
  view.setBigUint64(0, BigInt(`0x${hex}`));
  return view.getFloat64(0);
}

/** The input of section 3.2.2, as it stands there, escapes included. */
const SAMPLE = String.raw`{
  "numbers": [333333333.33333329, 1E30, 4.50,
              2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}`;

/** The bytes of section 3.2.4. */
const SAMPLE_BYTES = `
  7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72 75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72
  73 22 3a 5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31 65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32
  2c 31 65 2d 32 37 5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30 30 66 5c 6e 41 27 42 5c 22 5c 5c
  5c 5c 5c 22 2f 22 7d`;

const bytes = Buffer.from(SAMPLE_BYTES.replaceAll(/\s/g, ''), 'hex');

describe('RFC 8785 section 3.2: the sample object', () => {
  test('has the text of section 3.2.3 and the bytes of section 3.2.4', () => {
    const text = canonicalize(JSON.parse(SAMPLE)) as string;
    expect(text).toBe(
      String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
    );
    expect(Buffer.from(text, 'utf8').equals(bytes)).toBe(true);
  });

  test('has the digest of those bytes', () => {
    const sha = createHash('sha256').update(bytes).digest('hex');
    expect(digestOf(JSON.parse(SAMPLE))).toBe(`sha-256:${sha}`);
  });
});

describe('RFC 8785 appendix B: numbers', () => {
  test.each([
    ['0000000000000000', '0'],
    ['8000000000000000', '0'],
    ['0000000000000001', '5e-324'],
    ['8000000000000001', '-5e-324'],
    ['7fefffffffffffff', '1.7976931348623157e+308'],
    ['ffefffffffffffff', '-1.7976931348623157e+308'],
    ['4340000000000000', '9007199254740992'],
    ['c340000000000000', '-9007199254740992'],
    ['4430000000000000', '295147905179352830000'],
    ['44b52d02c7e14af5', '9.999999999999997e+22'],
    ['44b52d02c7e14af6', '1e+23'],
    ['44b52d02c7e14af7', '1.0000000000000001e+23'],
    ['444b1ae4d6e2ef4e', '999999999999999700000'],
    ['444b1ae4d6e2ef4f', '999999999999999900000'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['41b3de4355555553', '333333333.3333332'],
    ['41b3de4355555554', '333333333.33333325'],
    ['41b3de4355555555', '333333333.3333333'],
    ['41b3de4355555556', '333333333.3333334'],
    ['41b3de4355555557', '333333333.33333343'],
    ['becbf647612f3696', '-0.0000033333333333333333'],
    ['43143ff3c1cb0959', '1424953923781206.2'],
  ])('%s is %s', (hex, text) => {
    expect(canonicalize(double(hex))).toBe(text);
  });

  test.each([['7fffffffffffffff'], ['7ff0000000000000'], ['fff0000000000000']])(
    '%s, which is no number, has neither form nor digest',
    (hex) => {
      expect(() => canonicalize(double(hex))).toThrow();
      expect(() => digestOf({ value: double(hex) })).toThrow();
    },
  );
});

describe('RFC 8785 section 3.2.3: keys by their UTF-16 code units', () => {
  test('the sample of the section comes out in its order', () => {
    const text = canonicalize({
      '\u20ac': 'Euro Sign',
      '\r': 'Carriage Return',
      '\ufb33': 'Hebrew Letter Dalet With Dagesh',
      '1': 'One',
      '\ud83d\ude00': 'Emoji: Grinning Face',
      '\u0080': 'Control',
      '\u00f6': 'Latin Small Letter O With Diaeresis',
    }) as string;
    expect([...text.matchAll(/:"([^"]+)"/g)].map(([, value]) => value)).toEqual([
      'Carriage Return',
      'One',
      'Control',
      'Latin Small Letter O With Diaeresis',
      'Euro Sign',
      'Emoji: Grinning Face',
      'Hebrew Letter Dalet With Dagesh',
    ]);
  });

  test('keys are sorted at every depth and lists keep their order', () => {
    const text = '{"a":[{"c":3,"d":2},1],"b":{"e":{},"f":[]}}';
    expect(canonicalize({ b: { f: [], e: {} }, a: [{ d: 2, c: 3 }, 1] })).toBe(text);
  });
});

describe('RFC 8785 section 3.2.2.2: strings', () => {
  test('control characters have their short or lower-case form, and nothing else is escaped', () => {
    expect(canonicalize('\b\t\n\f\r\u0000\u001f"\\/\u007f\u2028é')).toBe(
      `${String.raw`"\b\t\n\f\r\u0000\u001f\"\\/`}\u007f\u2028é"`,
    );
  });

  test('a surrogate without its other half is an error', () => {
    expect(() => digestOf({ text: '\ud83d' })).toThrow();
  });
});

// each digest by `printf '%s' TEXT | sha256sum` of GNU coreutils
test.each([
  [{}, '44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a'],
  [[], '4f53cda18c2baa0c0354bb5f9a3ecbe5ed12ab4d8e11ba873c2f11161202b945'],
  ['', '12ae32cb1ec02d01eda3581b127c1fee3b0dc53572ed6baf239721a03d82e126'],
  [null, '74234e98afe7498fb5daf1f36ac2d78acc339464f950703b8c019892f982b90b'],
])('digest of %j as sha256sum gives it', (value, hex) => {
  expect(digestOf(value)).toBe(`sha-256:${hex}`);
});
