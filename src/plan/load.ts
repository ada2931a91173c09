/** How far a week may go: from the distance that is swum now, by steps that a shoulder can follow. */
import { phrase } from '../assess/phrases.ts';
import { templateFor } from '../assess/session.ts';
import type { WeekLoad } from '../contract/plan.ts';
import type { Frame } from './frame.ts';
import type { Week } from './timetable.ts';
import type { Work } from './work.ts';

const percent = (share: number): string => String(Math.round(share * 100));

/**
 * Metres not to exceed: now x share x (1 + step)^(week - 1) x volume, rounded down.
 *
 * The step of about a tenth a week is a rule of the trade with weak evidence (McKenzie 2023 finds no strong evidence
 * for any single factor), so it is a ceiling and no goal.
 */
export function mostMetres(now: number, week: number, volume: number, frame: Frame, round: number): number {
  const exact = now * frame.load.share * (1 + frame.load.step) ** (week - 1) * volume;
  // a sum of tenths must not fall under a round number by its last bit
  return Math.floor(exact / round + 1e-9) * round;
}

export function loadOf({ week, volume, stage }: Week, frame: Frame, work: Work): WeekLoad {
  const { record, ruleSet, time } = work;
  const round = ruleSet.parts.constants.plans.roundMetres;
  const share = frame.load.share * volume;
  if (stage === 'hold') {
    return { share: 0, guide: null, most: null, text: phrase(ruleSet, 'plan-load-hold') };
  }
  const template = templateFor(record, ruleSet);
  const scale = (record.options.sessionMinutes / template.minutes) * time.sessionsPerWeek * share;
  const near = (metres: number): number => Math.round((metres * scale) / round) * round;
  const guide = { least: near(template.metres.least), most: near(template.metres.most) };
  const now = record.swimmer.metresPerWeek;
  if (now === undefined) {
    const values = { percent: percent(share), least: String(guide.least), most: String(guide.most) };
    return {
      share,
      guide,
      most: null,
      text: phrase(ruleSet, share === 1 ? 'plan-load-usual' : 'plan-load-unknown', values),
    };
  }
  const most = mostMetres(now, week, volume, frame, round);
  const factors = [frame.load.share, ...Array.from({ length: week - 1 }, () => 1 + frame.load.step), volume];
  const changed = factors.filter((f) => f !== 1).map((f) => Number(f.toFixed(2)));
  const text = phrase(
    ruleSet,
    guide.least > most ? 'plan-load-over' : guide.most > most ? 'plan-load-low' : 'plan-load',
    {
      most: String(most),
      sum:
        changed.length === 0
          ? phrase(ruleSet, 'plan-load-now')
          : phrase(ruleSet, 'plan-load-sum', { sum: [now, ...changed].join(' x ') }),
      least: String(guide.least),
      guide: String(guide.most),
    },
  );
  return { share, guide, most, text };
}
