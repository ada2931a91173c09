/** Reads the named examples that the contract carries, for the tests and the demo. */
import { readdir, readFile } from 'node:fs/promises';
import { z } from 'zod';
import { Code } from '../../src/contract/common.ts';
import { AssessmentRequest } from '../../src/contract/request.ts';

const FOLDER = new URL('../../openapi/examples/assess/', import.meta.url);

const Expectation = z.strictObject({
  status: z.enum(['stop', 'refer', 'ask-more', 'ok']),
  firstCause: Code.optional(),
  focus: z.array(Code).max(2).optional().describe('All of the focus, in order.'),
  excludedDrill: Code.optional().describe('Stands among the excluded drills and nowhere else.'),
});

export const ExampleFile = z.strictObject({
  summary: z.string().min(1).max(60),
  description: z.string().min(1),
  invented: z.literal(true),
  request: AssessmentRequest,
  expect: Expectation,
});

export interface Example extends z.infer<typeof ExampleFile> {
  /** Name in the contract: the file name without its number. */
  readonly name: string;
  /** Place on the page. */
  readonly number: number;
}

/** @returns the examples in the order of the page. @throws ZodError when a file is no example. */
export async function readExampleFiles(): Promise<Example[]> {
  const files = (await readdir(FOLDER)).filter((file) => file.endsWith('.json')).sort();
  return Promise.all(
    files.map(async (file) => ({
      ...ExampleFile.parse(JSON.parse(await readFile(new URL(file, FOLDER), 'utf8'))),
      name: file.replace(/^\d+-|\.json$/g, ''),
      number: Number.parseInt(file, 10),
    })),
  );
}
