/** What a change is worth, against worked examples and published tow tests. */
import { describe, expect, test } from 'vitest';
import { dragConstant, speedRatio, steadySpeed, worthOf } from '../../src/measure/worth.ts';

const gain = (ratios: Parameters<typeof speedRatio>[0], exponent = 2): number =>
  100 * (speedRatio(ratios, exponent) - 1);

describe('worked by hand', () => {
  test.each([
    [{ resistance: 0.95 }, 1.72447682],
    [{ resistance: 0.9 }, 3.57441687],
    [{ resistance: 0.86 }, 5.1559496],
    [{ efficiency: 1.1 }, 3.22801155],
    [{ efficiency: 1.2 }, 6.26585692],
    [{ power: 1.1 }, 3.22801155],
    // Toussaint 1990: propelling efficiency of triathletes and of swimmers
    [{ efficiency: 0.61 / 0.44 }, 11.50449783],
  ])('%j: %d %% of speed by the square law', (ratios, percent) => {
    expect(gain(ratios)).toBeCloseTo(percent, 6);
  });

  test.each([
    [2.3, 3.24],
    [3.3, 2.48],
  ])('a tenth less drag that grows with v^%d: %d %%', (exponent, percent) => {
    expect(gain({ resistance: 0.9 }, exponent)).toBeCloseTo(percent, 2);
  });

  test('80 W at an efficiency of 0.5 against 30 kg/m, then 10 % and 5 % better', () => {
    const before = steadySpeed(80, 0.5, 30);
    const after = steadySpeed(80, 0.55, 28.5);
    expect(before).toBeCloseTo(1.10064242, 6);
    expect(after).toBeCloseTo(1.15576429, 6);
    expect(100 / before).toBeCloseTo(90.85602964, 5);
    expect(100 / after).toBeCloseTo(86.52283237, 5);
    expect(after / before).toBeCloseTo(speedRatio({ efficiency: 1.1, resistance: 0.95 }, 2), 9);
    // gains multiply, they do not add up
    expect(after / before).toBeCloseTo(
      speedRatio({ efficiency: 1.1 }, 2) * speedRatio({ resistance: 0.95 }, 2),
      12,
    );
  });
});

describe('published drag', () => {
  // Toussaint et al. 1989, wetsuits: 48.7 and 41.8 N at 1.25 m/s
  test('a wetsuit takes 14.17 % of drag, which is worth up to 5.22 % of speed', () => {
    const [without, suit] = [dragConstant(48.7, 1.25), dragConstant(41.8, 1.25)];
    expect(without).toBeCloseTo(31.168, 6);
    expect(suit).toBeCloseTo(26.752, 6);
    expect(gain({ resistance: suit / without })).toBeCloseTo(5.22466695, 6);
    expect(1200 / speedRatio({ resistance: suit / without }, 2)).toBeCloseTo(1140.4, 1);
  });

  // the same tests: 60.9 W at 1.25 m/s are what 31.2 kg/m ask for, and 52.3 W what 26.8 kg/m do
  test.each([
    [48.7, 60.875],
    [41.8, 52.25],
  ])('%d N at 1.25 m/s are %d W, and those bring 1.25 m/s', (drag, watts) => {
    expect(steadySpeed(watts, 1, dragConstant(drag, 1.25))).toBeCloseTo(1.25, 9);
  });

  // the mean of one study of active drag: 62.81 N at 1.54 m/s
  test('62.81 N at 1.54 m/s make 26.48 kg/m, and 96.7 W to keep it up', () => {
    expect(dragConstant(62.81, 1.54)).toBeCloseTo(26.484_23, 5);
    expect(steadySpeed(96.7274, 1, dragConstant(62.81, 1.54))).toBeCloseTo(1.54, 6);
  });

  /** Toussaint et al. 1988, J Biomech 21:435: active drag 28.9 v^2.12 N of men and 20.4 v^2.28 N of women. */
  describe.each([
    ['men', 2.12, [18.0073, 28.9, 46.381_74, 68.267_08, 100.479_06]],
    ['women', 2.28, [12.265_22, 20.4, 33.930_09, 51.418_36, 77.920_45]],
  ] as const)('fitted drag of %s', (_, exponent, newtons) => {
    const speeds = [0.8, 1, 1.25, 1.5, 1.8];

    test('the power for each speed brings that speed', () => {
      const watts = speeds.map((v, i) => v * (newtons[i] as number));
      speeds.slice(1).forEach((v, i) => {
        const power = (watts[i + 1] as number) / (watts[i] as number);
        expect(speedRatio({ power }, exponent)).toBeCloseTo(v / (speeds[i] as number), 5);
      });
    });

    test('its exponent lies among those that the bounds are taken over', () => {
      const { low, high } = worthOf('resistance', -10, 100);
      const gained = 100 * (1 - 1 / speedRatio({ resistance: 0.9 }, exponent));
      expect(gained).toBeGreaterThan(low);
      expect(gained).toBeLessThan(high);
    });
  });

  test.each([
    [2, 1.2714],
    [2.3, 1.3023],
  ])('from 1.2 to 1.3 m/s with drag of exponent %d takes %d times the power', (exponent, power) => {
    expect(speedRatio({ power }, exponent)).toBeCloseTo(1.3 / 1.2, 4);
  });

  // Cortesi & Gatta 2015: head in line instead of raised, towed: 10.5 and 4.5 % less drag
  test.each([
    [10.5, 3.77],
    [4.5, 1.55],
  ])('%d %% less drag with the head in line: at most %d %% of speed', (less, percent) => {
    expect(gain({ resistance: 1 - less / 100 })).toBeCloseTo(percent, 2);
  });

  // Chatard & Wilson 2003: 21 % less passive drag behind another swimmer; Chatard 1998 measured 3.2 % of speed over 400 m
  test('7 % less behind one at the side: at most 2.45 %', () => {
    expect(gain({ resistance: 0.93 })).toBeCloseTo(2.45, 2);
  });

  test('drafting: the bound of 8.17 % lies over the measured 3.2 %', () => {
    expect(gain({ resistance: 0.79 })).toBeCloseTo(8.17, 2);
    expect(worthOf('resistance', -21, 74.3).high / 74.3).toBeGreaterThan(0.032 / 1.032);
    expect(worthOf('resistance', -21, 74.3).low / 74.3).toBeGreaterThan(0.032 / 1.032);
  });
});

/** Toussaint 1990, Med Sci Sports Exerc 22:409-415: watts against drag and into the water, arms only at 1000 W input. */
describe('swimmers and triathletes of one study', () => {
  const swimmers = { speed: 1.17, drag: 49, waste: 32 };
  const triathletes = { speed: 0.95, drag: 35, waste: 45 };
  const share = (g: typeof swimmers): number => g.drag / (g.drag + g.waste);
  const constant = (g: typeof swimmers): number => g.drag / g.speed ** 3;

  test('the printed efficiencies follow from the printed watts', () => {
    expect(share(swimmers)).toBeCloseTo(0.6049, 4);
    expect(share(triathletes)).toBeCloseTo(0.4375, 4);
  });

  test('power to drag and drag constant together explain the whole gap in speed', () => {
    const byPower = speedRatio({ power: swimmers.drag / triathletes.drag }, 2);
    const byDrag = speedRatio({ resistance: constant(swimmers) / constant(triathletes) }, 2);
    expect(byPower).toBeCloseTo(1.119, 3);
    expect(byDrag).toBeCloseTo(1.101, 3);
    expect(byPower * byDrag).toBeCloseTo(swimmers.speed / triathletes.speed, 9);
    // the same power through both efficiencies gives the same speed
    const total = (g: typeof swimmers): number => g.drag + g.waste;
    for (const g of [swimmers, triathletes])
      expect(steadySpeed(total(g), share(g), constant(g))).toBeCloseTo(g.speed, 9);
  });
});
