/** Settings come from the environment, are read once, and every mistake is named at once. */
import { z } from 'zod';

/** A whole number as text: an empty setting is a mistake, not zero. */
const wholeNumber = (min: number, max: number, fallback: number) =>
  z
    .string()
    .regex(/^\d+$/, 'must be a whole number')
    .default(String(fallback))
    .transform(Number)
    .pipe(z.int().min(min).max(max));

const Settings = z.object({
  HOST: z.string().min(1).default('127.0.0.1').describe('Address to listen on.'),
  PORT: wholeNumber(0, 65_535, 8080).describe('Port to listen on; 0 takes a free one.'),
  LOG_LEVEL: z
    .enum(['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'])
    .default('info')
    .describe('How much is logged. Bodies are never logged.'),
  BODY_LIMIT_BYTES: wholeNumber(1024, 64 * 1024 * 1024, 1024 * 1024).describe('Largest request body.'),
  ACCESS_KEYS_FILE: z
    .string()
    .min(1)
    .optional()
    .describe('File with the access keys (digests). Left out: no key is asked for.'),
  OPEN_ACCESS: z
    .enum(['true', 'false'])
    .default('false')
    .transform((v) => v === 'true')
    .describe('Allow a public address without keys: only where something in front controls access.'),
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
