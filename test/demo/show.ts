/** Sends records to a running service and prints what comes back. */
import { request } from 'undici';
import type { AssessmentAnswer } from '../../src/contract/answer.ts';
import type { Example } from '../openapi/read-examples.ts';
import { printAnswer } from './print.ts';
import type { Words } from './words.ts';

async function wordsFrom(url: string): Promise<Words> {
  const { statusCode, body } = await request(`${url}/v1/rule-sets/front-crawl/1.0.0/texts`);
  if (statusCode !== 200) throw new Error(`the texts answered ${statusCode}: ${await body.text()}`);
  return (await body.json()) as Words;
}

/** @returns how many records were not answered with 200. */
export async function show(
  url: string,
  examples: readonly Example[],
  write: (text: string) => void,
): Promise<number> {
  const words = await wordsFrom(url);
  let failed = 0;
  for (const example of examples) {
    const { statusCode, body } = await request(`${url}/v1/assessments`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(example.request),
    });
    if (statusCode === 200) write(printAnswer(example, (await body.json()) as AssessmentAnswer, words));
    else {
      failed += 1;
      write(`${example.name}: HTTP ${statusCode}\n${await body.text()}\n`);
    }
  }
  return failed;
}
