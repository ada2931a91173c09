/** Where the time of an assessment goes, by source file and by function, from the profiler of the runtime. */
import { Session } from 'node:inspector/promises';

interface Frame {
  readonly functionName: string;
  readonly url: string;
}

const fileOf = ({ url }: Frame): string => {
  if (url.includes('/node_modules/')) return url.split('/node_modules/').at(-1)?.split('/')[0] ?? url;
  if (url.includes('/src/')) return `src/${url.split('/src/').at(-1)}`;
  return 'the runtime';
};

/** @returns lines of text: shares of each file, and of the functions with the largest shares of their own. */
export async function profileOf(title: string, work: (i: number) => unknown, runs: number): Promise<string> {
  for (let i = 0; i < runs; i++) await work(i);
  const session = new Session();
  session.connect();
  await session.post('Profiler.enable');
  await session.post('Profiler.setSamplingInterval', { interval: 200 });
  await session.post('Profiler.start');
  for (let i = 0; i < runs; i++) await work(i);
  const { profile } = await session.post('Profiler.stop');
  session.disconnect();

  const frames = new Map(profile.nodes.map((node) => [node.id, node.callFrame as Frame]));
  const files = new Map<string, number>();
  const functions = new Map<string, number>();
  let total = 0;
  profile.samples?.forEach((id, i) => {
    const frame = frames.get(id) as Frame;
    if (frame.functionName === '(idle)') return;
    const time = profile.timeDeltas?.[i] ?? 0;
    total += time;
    const name = `${frame.functionName || 'an unnamed function'}, ${fileOf(frame)}`;
    files.set(fileOf(frame), (files.get(fileOf(frame)) ?? 0) + time);
    functions.set(name, (functions.get(name) ?? 0) + time);
  });
  const largest = (list: Map<string, number>, most: number): string[] =>
    [...list]
      .sort(([, a], [, b]) => b - a)
      .slice(0, most)
      .map(([name, time]) => `${((100 * time) / total).toFixed(1).padStart(6)} %  ${name}`);
  return [title, '', 'by file', ...largest(files, 16), '', 'by function', ...largest(functions, 16), ''].join(
    '\n',
  );
}
