/** A bare Fastify that reads a JSON body and answers with one of the size of an assessment. */
import { readFile } from 'node:fs/promises';
import Fastify from 'fastify';

const answer = JSON.parse(await readFile(process.env.ANSWER_FILE as string, 'utf8')) as object;
const app = Fastify();
app.post('/v1/assessments', async () => answer);
console.log(await app.listen({ host: '127.0.0.1', port: 0 }));
