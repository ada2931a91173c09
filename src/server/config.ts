/** Settings come from the environment, are read once, and every mistake is named at once. */
import { z } from 'zod';

const Settings = z.object({
  HOST: z.string().min(1).default('127.0.0.1').describe('Address to listen on.'),
  PORT: z.coerce
    .number()
    .int()
    .min(0)
    .max(65535)
    .default(8080)
    .describe('Port to listen on; 0 takes a free one.'),
  LOG_LEVEL: z
    .enum(['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'])
    .default('info')
    .describe('How much is logged. Bodies are never logged.'),
  BODY_LIMIT_BYTES: z.coerce
    .number()
    .int()
    .min(1024)
    .max(64 * 1024 * 1024)
    .default(1024 * 1024)
    .describe('Largest request body.'),
});
export type Settings = z.infer<typeof Settings>;

/** @throws Error that lists every setting that is wrong. */
export function readSettings(env: { readonly [name: string]: string | undefined }): Settings {
  const parsed = Settings.safeParse(env);
  if (parsed.success) return parsed.data;
  const lines = parsed.error.issues.map((issue) => `  ${issue.path.join('.')}: ${issue.message}`);
  throw new Error(`settings are wrong:\n${lines.join('\n')}`);
}
