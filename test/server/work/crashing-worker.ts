/** A thread that ends or throws when a record asks for it by its request id. */

import type { Task } from '../../../src/server/tasks/tasks.ts';
import work from '../../../src/server/work/worker.ts';

function wishOf(task: Task): string | undefined {
  const record =
    task.kind === 'item'
      ? (task.item as { request: unknown }).request
      : task.kind === 'assess'
        ? JSON.parse(new TextDecoder().decode(task.bytes))
        : {};
  return (record as { requestId?: string }).requestId;
}

async function crash(task: Task): Promise<unknown> {
  const wish = wishOf(task);
  if (wish === 'end') process.exit(1);
  if (wish === 'throw') throw new Error('a fault of the code');
  return (await work)(task);
}

export default work.then(() => crash);
