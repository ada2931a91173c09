/** Works on several things at once, takes no more in than it can hold, and gives nothing out before it is asked for. */

export type Order = 'input' | 'any';

interface Running<R> {
  readonly result: Promise<Ready<R>>;
}
interface Ready<R> {
  readonly from: Running<R>;
  readonly value: R;
}
interface Asked<T> {
  readonly step: IteratorResult<T>;
}

/**
 * @param work must not fail.
 * @param most things that are worked on or wait to be given out at one time: the memory that a slow reader costs.
 * @param order `input` keeps the order of the things, `any` gives out what is ready.
 */
export async function* inFlight<T, R>(
  things: AsyncIterator<T>,
  work: (thing: T) => Promise<R>,
  most: number,
  order: Order,
): AsyncGenerator<R, void, void> {
  const running: Running<R>[] = [];
  const begin = (thing: T): void => {
    const entry: Running<R> = { result: work(thing).then((value) => ({ from: entry, value })) };
    running.push(entry);
  };
  const ask = (): Promise<Asked<T>> => {
    const asking = things.next().then((step) => ({ step }));
    // it may fail while nobody listens, because what is ready is being given out; the next race hears of it
    asking.catch(() => undefined);
    return asking;
  };
  let asked: Promise<Asked<T>> | undefined = ask();
  try {
    while (asked !== undefined || running.length > 0) {
      const inputs: Promise<Asked<T>>[] = asked === undefined || running.length >= most ? [] : [asked];
      const outputs = order === 'input' ? running.slice(0, 1) : running;
      const event: Asked<T> | Ready<R> = await Promise.race([
        ...inputs,
        ...outputs.map((entry) => entry.result),
      ]);
      if ('step' in event) {
        asked = event.step.done ? undefined : ask();
        if (!event.step.done) begin(event.step.value);
      } else {
        running.splice(running.indexOf(event.from), 1);
        yield event.value;
      }
    }
  } finally {
    // whoever reads has gone: the rest is not read either
    if (asked !== undefined) void things.return?.();
  }
}
