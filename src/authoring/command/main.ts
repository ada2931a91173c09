/**
 * `npm run rules -- check|diff|score|write|publish …`: the rule author's bench on folders.
 * Exit codes: 0 all is well; 1 something is wrong with a rule set, a draft or the lock; 2 the command was used wrongly.
 */
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { RuleSetInvalid } from '../../knowledge/errors.ts';
import { foldersIn } from '../../knowledge/load.ts';
import { DraftInvalid } from '../draft/mistakes.ts';
import { check } from './check.ts';
import { diff } from './diff.ts';
import { Misuse, type Outcome } from './outcome.ts';
import { publish } from './publish.ts';
import { score } from './score.ts';
import { write } from './write.ts';

const USAGE = `npm run rules -- <command> [--json]
  check [folder …] [--deletions]   schema, lint, cases, coverage, lock; without a folder, all of rules/
  diff <folder> <folder>           what differs, and what that changes over the cases
  score <folder> <file>            agreement with labelled cases, {"cases": [{"request", "causes"}]}
  write <file>                     a draft, {"base", "draft"}, becomes a folder under rules/
  publish <folder> --date <day>    every check, then the version is locked
exit codes: 0 well, 1 something is wrong with the rules, 2 wrong use`;

const RULES = fileURLToPath(new URL('../../../rules', import.meta.url));

async function everyFolder(): Promise<string[]> {
  const names = await foldersIn(RULES);
  const folders = names.map(async (name) =>
    (await foldersIn(join(RULES, name))).map((version) => join(RULES, name, version)),
  );
  return (await Promise.all(folders)).flat();
}

interface Options {
  readonly date?: string | undefined;
  readonly deletions?: boolean | undefined;
}

function dayOf({ date }: Options): string {
  const day = z.iso.date().safeParse(date);
  if (!day.success) throw new Misuse('publish needs --date, such as --date 2026-11-25');
  return day.data;
}

function exactly<N extends 1 | 2>(
  args: readonly string[],
  count: N,
): N extends 1 ? [string] : [string, string] {
  if (args.length !== count) throw new Misuse(USAGE);
  return [...args] as N extends 1 ? [string] : [string, string];
}

async function run(command: string | undefined, args: readonly string[], options: Options): Promise<Outcome> {
  switch (command) {
    case 'check': {
      const whole = args.length === 0;
      return check(whole ? await everyFolder() : args, RULES, {
        deletions: options.deletions === true,
        whole,
      });
    }
    case 'diff':
      return diff(...exactly(args, 2));
    case 'score':
      return score(...exactly(args, 2));
    case 'write':
      return write(...exactly(args, 1), RULES);
    case 'publish':
      return publish(...exactly(args, 1), dayOf(options));
    default:
      throw new Misuse(USAGE);
  }
}

/** @returns what a failed command says, where the rules are to blame. */
function faultsOf(error: unknown): Outcome | undefined {
  if (error instanceof RuleSetInvalid)
    return { ok: false, lines: [error.message], json: { errors: error.errors } };
  if (error instanceof DraftInvalid)
    return { ok: false, lines: [error.message], json: { errors: error.mistakes } };
  return undefined;
}

function parse(argv: readonly string[]) {
  try {
    return parseArgs({
      args: [...argv],
      allowPositionals: true,
      options: { json: { type: 'boolean' }, deletions: { type: 'boolean' }, date: { type: 'string' } },
    });
  } catch (error) {
    throw new Misuse(`${(error as Error).message}\n${USAGE}`);
  }
}

async function main(argv: readonly string[]): Promise<number> {
  try {
    const { values, positionals } = parse(argv);
    const [command, ...args] = positionals;
    const outcome = await run(command, args, values).catch((error: unknown) => {
      const faults = faultsOf(error);
      if (faults === undefined) throw error;
      return faults;
    });
    console.log(values.json ? JSON.stringify(outcome.json, null, 2) : outcome.lines.join('\n'));
    return outcome.ok ? 0 : 1;
  } catch (error) {
    // a file that is not there or is not JSON is wrong use as well
    console.error(error instanceof Error ? error.message : error);
    return 2;
  }
}

process.exitCode = await main(process.argv.slice(2));
