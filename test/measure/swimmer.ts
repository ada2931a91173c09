/** Marks of an invented swimmer, for the tests of the measurements. Imports nothing from them. */
export type Arm = 'left' | 'right';
export type Kind = 'entry' | 'pull-start' | 'mid-pull' | 'exit';
export interface Mark {
  readonly arm: Arm;
  readonly kind: Kind;
  readonly time: number;
}

/** Shares of the cycle from the hand's entry. */
export interface Arms {
  readonly pullStart: number;
  readonly midPull: number;
  readonly exit: number;
}

export interface Swim {
  readonly cycleSeconds: number;
  readonly cycles: number;
  readonly left: Arms;
  readonly right: Arms;
  /** Entry of the left hand after that of the right, as a share of the cycle. */
  readonly offset: number;
  readonly start: number;
}

export const STEADY: Swim = {
  cycleSeconds: 1.6,
  cycles: 3,
  left: { pullStart: 0.3, midPull: 0.5, exit: 0.7 },
  right: { pullStart: 0.35, midPull: 0.55, exit: 0.75 },
  offset: 0.5,
  start: 0.2,
};

/** Moves one mark: the arm, the kind, and how many cycles have passed since the start. */
export type Jitter = (arm: Arm, kind: Kind, cycles: number) => number;

/** All marks of a swim; each arm has `cycles` whole cycles, so one entry more. */
export function marksOf(swim: Swim, jitter: Jitter = () => 0): Mark[] {
  return (['left', 'right'] as const).flatMap((arm) => {
    const behind = arm === 'left' ? swim.offset : 0;
    return Array.from({ length: swim.cycles + 1 }, (_, k) => {
      const at = (kind: Kind, share: number): Mark => ({
        arm,
        kind,
        time: swim.start + (behind + k + share) * swim.cycleSeconds + jitter(arm, kind, behind + k + share),
      });
      const { pullStart, midPull, exit } = swim[arm];
      const marks = [at('entry', 0), at('pull-start', pullStart), at('mid-pull', midPull), at('exit', exit)];
      return k < swim.cycles ? marks : marks.slice(0, 1);
    }).flat();
  });
}

const swap = (arm: Arm): Arm => (arm === 'left' ? 'right' : 'left');
export const mirrored = <T extends { arm: Arm }>(marks: readonly T[]): T[] =>
  marks.map((m) => ({ ...m, arm: swap(m.arm) }));
