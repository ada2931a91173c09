/** `score`: how well the probabilities of a folder agree with what an expert named. */
import { basename, dirname } from 'node:path';
import { z } from 'zod';
import { LabelledCase } from '../../contract/calibration.ts';
import { RuleSetInvalid } from '../../knowledge/errors.ts';
import { readFileAs } from '../../knowledge/load.ts';
import { unreadable } from '../records.ts';
import { readCases, scoreRuleSet } from '../score/score.ts';
import { readLibrary } from './library.ts';
import { Misuse, type Outcome } from './outcome.ts';

const Labelled = z.strictObject({ cases: z.array(LabelledCase).min(1) });

/** @param file `{"cases": [{"request", "causes"}]}`, as `POST /v1/drafts/score` takes it. */
export async function score(folder: string, file: string): Promise<Outcome> {
  const { ruleSet, id } = await readLibrary(folder);
  const { value, errors } = await readFileAs(dirname(file), basename(file), Labelled);
  if (value === undefined || errors.length > 0) throw new RuleSetInvalid('labelled cases', errors);
  const strange = value.cases.flatMap(({ request }, i) =>
    unreadable(request, ruleSet).map((e) => ({
      ...e,
      file: basename(file),
      pointer: `/cases/${i}/request${e.pointer}`,
    })),
  );
  if (strange.length > 0) throw new RuleSetInvalid('labelled cases', strange);
  const { cases, messages } = readCases(value.cases, ruleSet);
  if (cases.length === 0) throw new Misuse('no record is left to score: health signs stop every one');
  const { overall, causes, because } = scoreRuleSet(cases, ruleSet);
  const figure = ({ value: v, range }: { value: number; range: readonly number[] | null }): string =>
    `${v.toFixed(3)}${range === null ? '' : ` (90 % range ${range.map((x) => x.toFixed(3)).join(' to ')})`}`;
  return {
    ok: true,
    lines: [
      `${id}: ${overall.cases} records of ${overall.swimmers} swimmers, ${overall.named} causes named`,
      ...[...because, ...messages].map((b) => `  ${b.text}`),
      `  Brier score ${figure(overall.brier)}, log loss ${figure(overall.logLoss)}`,
      `  calibration slope ${figure(overall.slope)}, mean distance ${overall.calibrationError.toFixed(3)}`,
      ...(overall.topOne === null ? [] : [`  a named cause first: ${figure(overall.topOne)}`]),
      ...(overall.topThree === null
        ? []
        : [`  a named cause among the first three: ${figure(overall.topThree)}`]),
      ...overall.reliability.map(
        (bin) =>
          `  said "${bin.word}" ${bin.count} times: ${bin.meanForecast.toFixed(2)} on average, named ${bin.namedShare.toFixed(2)}`,
      ),
      ...causes.map(
        (c) =>
          `  ${c.label}: named ${c.named} times, said ${c.meanForecast.toFixed(2)}, Brier ${c.brier.toFixed(3)}`,
      ),
    ],
    json: { ruleSet: id, overall, causes, because, messages },
  };
}
