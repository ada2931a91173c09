/** From the bytes of a batch to the lines of its answer. */
import type { Decision } from '../decision-log.ts';
import { HttpProblem } from '../problems.ts';
import type { Pool } from '../work/pool.ts';
import { inFlight, type Order } from './in-flight.ts';
import { idOf, parseItem, problemLine } from './item.ts';
import { type Line, splitLines } from './lines.ts';

/** Lines that are worked on or wait to be read by the client, for each task in hand: enough that no thread waits. */
const LINES_PER_PLACE = 4;

export interface BatchRules {
  readonly pool: Pool;
  readonly lineLimit: number;
  readonly lines: number;
  readonly order: Order;
  /** Short answers are enough. */
  readonly minimal: boolean;
  /** True once the service shuts down: lines that were not begun are then refused. */
  readonly closing: () => boolean;
  /** Told of each assessment that is answered. */
  readonly onDecision: (decision: Decision) => void;
  /** Told of a line whose thread failed. */
  readonly onError: (error: unknown) => void;
}

type Answer = string | Uint8Array;

/** @returns a function that answers one line and never fails; it must be called in the order of the lines. */
function lineAnswerer({
  pool,
  lineLimit,
  lines,
  minimal,
  closing,
  onDecision,
  onError,
}: BatchRules): (line: Line) => Promise<Answer> {
  const firstLineOf = new Map<string, number>();

  return async ({ number, bytes }) => {
    let id: string | undefined;
    try {
      if (bytes === undefined)
        throw new HttpProblem('line-too-long', { detail: `At most ${lineLimit} bytes.` });
      const item = parseItem(bytes);
      id = idOf(item);
      if (number > lines) throw new HttpProblem('too-many-lines', { detail: `At most ${lines} lines.` });
      if (closing()) throw new HttpProblem('shutting-down');
      const repeats = id === undefined ? undefined : firstLineOf.get(id);
      if (id !== undefined && repeats === undefined) firstLineOf.set(id, number);
      const done = await pool.run({ kind: 'item', line: number, item, repeats, minimal }, 'batch');
      if (done.decision !== undefined) onDecision(done.decision);
      return done.bytes;
    } catch (error) {
      if (error instanceof HttpProblem) return problemLine(number, id, error);
      onError(error);
      return problemLine(number, id, new HttpProblem('internal-error'));
    }
  };
}

/**
 * One line out for every line in. Nothing is read before there is room for it, and nothing is made ready before the
 * client takes what is: back-pressure in both directions.
 */
export function answerLines(
  body: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  rules: BatchRules,
): AsyncGenerator<Answer, void, void> {
  const most = LINES_PER_PLACE * rules.pool.places;
  return inFlight(splitLines(body, rules.lineLimit), lineAnswerer(rules), most, rules.order);
}
