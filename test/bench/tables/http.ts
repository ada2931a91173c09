/**
 * Over HTTP: the service as it starts by default against a bare Fastify that answers with a JSON object of the same size,
 * in turns. Servers share one core and the load comes from another, where the machine has two.
 */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { assess } from '../../../src/assess/assess.ts';
import { propagate } from '../../../src/assess/network/propagate.ts';
import { runFlowNow } from '../../../src/assess/pipeline.ts';
import { toRecord } from '../../../src/assess/record.ts';
import { study } from '../../../src/assess/study.ts';
import { AssessmentRequest } from '../../../src/contract/request.ts';
import type { Stage } from '../../../src/engine/stage.ts';
import { readBody } from '../../../src/server/input.ts';
import { inTurns, kB, median, ms, type Table, times } from '../harness.ts';
import { type Load, load, pinned, startServer } from '../http/programs.ts';
import { requestOf, requests, ruleSet } from '../subject.ts';

const SECONDS = 4;
const TURNS = 4;
const WARM_UP_SECONDS = 12;
const CONNECTIONS = 10;

/** Where the time of one request goes, each part by itself in one process. */
async function shares() {
  const bodies = requests.map((request) => JSON.stringify(request));
  const answers = await Promise.all(requests.map((request) => assess(request, ruleSet)));
  const studies = requests.map((request) => runFlowNow(study(toRecord(request, ruleSet), ruleSet)));
  const stages = Object.values(ruleSet.stages) as Stage<unknown>[];
  const at = <T>(list: readonly T[], i: number): T => list[i % list.length] as T;
  const timings = await inTurns(
    {
      validation: {
        runs: 50,
        work: (i) => readBody(AssessmentRequest, JSON.parse(at(bodies, i)), ruleSet),
      },
      rules: {
        runs: 50,
        work: async (i) => {
          const s = at(studies, i);
          if (s.status !== 'stop') for (const stage of stages) await stage.run(s.slots);
        },
      },
      inference: {
        runs: 50,
        work: (i) => {
          const s = at(studies, i);
          if (s.status === 'stop') return;
          const { network, inputs } = s.weighed;
          propagate(network, inputs, ruleSet.parts.constants.propagation);
        },
      },
      serialisation: { runs: 50, work: (i) => Buffer.from(JSON.stringify(at(answers, i))) },
      assessment: { runs: 50, work: (i) => assess(requestOf(i), ruleSet) },
    },
    12,
  );
  const { validation, rules, inference, serialisation, assessment } = timings;
  const rest = assessment.p50 - rules.p50 - inference.p50;
  return {
    validation: validation.p50,
    rules: rules.p50,
    inference: inference.p50,
    serialisation: serialisation.p50,
    'the rest of the assessment': rest,
  };
}

export async function http(): Promise<Table> {
  const folder = await mkdtemp(join(tmpdir(), 'bench-'));
  const bodyFile = join(folder, 'body.json');
  const looksFile = join(folder, 'looks.json');
  const answerFile = join(folder, 'answer.json');
  const answers = await Promise.all(requests.map((request) => assess(request, ruleSet)));
  // the record whose answer is of a usual size stands for all
  const usual = [...requests.keys()].sort(
    (a, b) => JSON.stringify(answers[a]).length - JSON.stringify(answers[b]).length,
  )[Math.floor(requests.length / 2)] as number;
  await writeFile(bodyFile, JSON.stringify(requestOf(usual)));
  await writeFile(looksFile, JSON.stringify({ ...requestOf(usual), options: {} }));
  await writeFile(answerFile, JSON.stringify(answers[usual]));

  const echo = await startServer('test/bench/http/echo.ts', { ANSWER_FILE: answerFile });
  const service = await startServer('src/main.ts', { PORT: '0' });
  const contenders = {
    echo: () => load(echo.url, bodyFile, SECONDS, CONNECTIONS),
    service: () => load(service.url, bodyFile, SECONDS, CONNECTIONS),
    minimal: () => load(service.url, bodyFile, SECONDS, CONNECTIONS, ['prefer=return=minimal']),
  };
  type Name = keyof typeof contenders;
  const loads: { [N in Name]: Load[] } = { echo: [], service: [], minimal: [] };
  let looks: Load;
  try {
    // a service runs for days: what its first seconds cost until the code is compiled is not counted, for either
    for (const { url } of [echo, service]) await load(url, bodyFile, WARM_UP_SECONDS, CONNECTIONS);
    for (let turn = 0; turn < TURNS; turn++)
      for (const name of Object.keys(contenders) as Name[]) loads[name].push(await contenders[name]());
    looks = await load(service.url, looksFile, SECONDS, CONNECTIONS);
  } finally {
    await Promise.all([echo.stop(), service.stop()]);
    await rm(folder, { recursive: true });
  }
  const share = (name: Name): number =>
    median(loads[name].map((l, turn) => l.perSecond / (loads.echo[turn] as Load).perSecond));
  const of = (name: Name, field: keyof Load): number => median(loads[name].map((l) => l[field]));
  const row = (title: string, name: Name): string[] => [
    title,
    of(name, 'perSecond').toFixed(0),
    times(share(name)),
    ms(of(name, 'p99Ms')),
    times(of(name, 'p99Ms') / of('echo', 'p99Ms')),
    kB(of(name, 'answerBytes')),
  ];
  const parts = await shares();
  const whole = Object.values(parts).reduce((a, b) => a + b, 0);
  const told = Object.entries(parts).map(([name, time]) => `${name} ${((100 * time) / whole).toFixed(0)} %`);
  return {
    title: `Over HTTP: ${CONNECTIONS} connections, warm, ${pinned ? 'servers on one core, load from another' : 'cores shared'}`,
    head: ['', 'a second', 'of echo', 'p99', 'of echo', 'answer'],
    rows: [
      row('bare Fastify, same sizes', 'echo'),
      row('the service, without next looks', 'service'),
      row('the same, Prefer: return=minimal', 'minimal'),
      [
        'the service, with next looks',
        looks.perSecond.toFixed(0),
        times(looks.perSecond / of('echo', 'perSecond')),
        ms(looks.p99Ms),
        times(looks.p99Ms / of('echo', 'p99Ms')),
        kB(looks.answerBytes),
      ],
    ],
    notes: [`Of the work on a request in process: ${told.join(', ')}.`],
    checks: [{ what: "throughput as a share of the echo's", value: share('service'), atLeast: 0.1 }],
    data: { loads, looks, share: share('service'), minimalShare: share('minimal'), partsMs: parts },
  };
}
