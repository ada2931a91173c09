/** Settings come from the environment, are read once, and every mistake is named at once. */
import { availableParallelism } from 'node:os';
import { z } from 'zod';

const MIB = 1024 * 1024;

/** A whole number as text: an empty setting is a mistake, not zero. */
const wholeNumber = (min: number, max: number, fallback: number) =>
  z
    .string()
    .regex(/^\d+$/, 'must be a whole number')
    .default(String(fallback))
    .transform(Number)
    .pipe(z.int().min(min).max(max));

/** Scheme, host and port, as a browser sends it (RFC 6454). */
function isOrigin(text: string): boolean {
  return URL.canParse(text) && new URL(text).origin === text;
}

export const Settings = z.object({
  HOST: z.string().min(1).default('127.0.0.1').describe('Address to listen on.'),
  PORT: wholeNumber(0, 65_535, 8080).describe('Port to listen on; 0 takes a free one.'),
  LOG_LEVEL: z
    .enum(['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'])
    .default('info')
    .describe('How much is logged. Bodies are never logged.'),
  BODY_LIMIT_BYTES: wholeNumber(1024, 64 * MIB, MIB).describe(
    'Largest request body; a squad may be eight times as large.',
  ),
  BODY_TIMEOUT_MS: wholeNumber(100, 600_000, 30_000).describe('Longest time in which a body may arrive.'),
  WORKERS: wholeNumber(0, 256, availableParallelism()).describe(
    'Threads for quick answers, and half as many more for long ones; 0 does all of it on the thread that also speaks HTTP, without a limit of time.',
  ),
  QUEUE_LIMIT: wholeNumber(0, 100_000, 256).describe(
    'Requests that may wait for a thread; more get 503 with Retry-After.',
  ),
  BATCH_LIMIT: wholeNumber(1, 1000, 4).describe('Batches at one time; more get 503 with Retry-After.'),
  BATCH_LINES: wholeNumber(1, 10_000_000, 100_000).describe('Most lines of a batch.'),
  BATCH_LINE_LIMIT_BYTES: wholeNumber(1024, 64 * MIB, MIB).describe('Longest line of a batch.'),
  BATCH_BODY_LIMIT_BYTES: wholeNumber(1024, 1024 * MIB, 32 * MIB).describe(
    'Largest batch with a Content-Length, which is read whole before it is answered. A chunked one is not limited.',
  ),
  ACCESS_KEYS_FILE: z
    .string()
    .min(1)
    .optional()
    .describe(
      'File with the access keys: digests only. `npm run new-key -- --id club-a --scopes assess,read` makes one. Left out: no key is asked for.',
    ),
  OPEN_ACCESS: z
    .enum(['true', 'false'])
    .default('false')
    .transform((v) => v === 'true')
    .describe('Allow a public address without keys: only where something in front controls access.'),
  CORS_ORIGINS: z
    .string()
    .optional()
    .transform((text, ctx) => {
      const origins = text === undefined ? [] : text.split(',').map((o) => o.trim());
      for (const origin of origins)
        if (!isOrigin(origin))
          ctx.addIssue({ code: 'custom', message: `"${origin}" is no origin such as https://club.example` });
      return origins;
    })
    .describe('Web pages that may call from a browser, with commas between. Left out: none but its own.'),
  DECISION_LOG: z
    .string()
    .min(1)
    .optional()
    .describe(
      'File to which a line of ids and digests is added for each assessment. Left out: none is kept.',
    ),
  CALLS_PER_MINUTE: wholeNumber(1, 1_000_000, 600).describe('For each key that sets no number of its own.'),
});
export type Settings = z.infer<typeof Settings>;

/** @throws Error that lists every setting that is wrong. */
export function readSettings(env: { readonly [name: string]: string | undefined }): Settings {
  const parsed = Settings.safeParse(env);
  if (parsed.success) return parsed.data;
  const lines = parsed.error.issues.map((issue) => `  ${issue.path.join('.')}: ${issue.message}`);
  throw new Error(`settings are wrong:\n${lines.join('\n')}`);
}
