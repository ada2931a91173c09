/**
 * Access keys. The file holds digests only: whoever reads it cannot call the service with it. Keys are long random texts, so
 * a plain SHA-256 is enough; a slow password hash would only slow every call down.
 */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { z } from 'zod';

/** assess: send records; author: work on rules; read: fetch rule sets. */
export const SCOPES = ['assess', 'author', 'read'] as const;
export type Scope = (typeof SCOPES)[number];

const AccessKey = z.strictObject({
  id: z
    .string()
    .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'must be a kebab-case id')
    .max(64)
    .describe('Who calls. Stands in the log; never a person.'),
  sha256: z
    .string()
    .regex(/^[0-9a-f]{64}$/, 'must be a SHA-256 in lower-case hex')
    .describe('Digest of the key.'),
  scopes: z.array(z.enum(SCOPES)).min(1),
  expires: z.iso.datetime({ offset: true }).optional(),
  perMinute: z.int().min(1).max(1_000_000).optional().describe('Calls a minute; left out: the setting.'),
});
export type AccessKey = z.infer<typeof AccessKey>;

const KeyFile = z
  .array(AccessKey)
  .min(1)
  .superRefine((keys, ctx) => {
    for (const field of ['id', 'sha256'] as const) {
      keys.forEach((key, i) => {
        if (keys.findIndex((k) => k[field] === key[field]) < i)
          ctx.addIssue({
            code: 'custom',
            path: [i, field],
            message: `stands twice in the file`,
            input: key[field],
          });
      });
    }
  });

const digestOf = (key: string): Buffer => createHash('sha256').update(key, 'utf8').digest();

/** @throws Error that names every mistake of the file, never its content. */
export async function readKeys(path: string): Promise<readonly AccessKey[]> {
  let content: unknown;
  try {
    content = JSON.parse(await readFile(path, 'utf8'));
  } catch (error) {
    const reason =
      error instanceof SyntaxError
        ? 'is not JSON'
        : `cannot be read (${(error as NodeJS.ErrnoException).code})`;
    throw new Error(`the file of ACCESS_KEYS_FILE ${reason}`);
  }
  const parsed = KeyFile.safeParse(content);
  if (parsed.success) return parsed.data;
  const lines = parsed.error.issues.map((issue) => `  /${issue.path.join('/')}: ${issue.message}`);
  throw new Error(`the file of ACCESS_KEYS_FILE is wrong:\n${lines.join('\n')}`);
}

/** Compares with every key, whatever the first one says, so that the time tells nothing. */
export function keyOf(token: string, keys: readonly AccessKey[]): AccessKey | undefined {
  const digest = digestOf(token);
  return keys.reduce<AccessKey | undefined>(
    (found, key) => (timingSafeEqual(digest, Buffer.from(key.sha256, 'hex')) ? key : found),
    undefined,
  );
}

/** A new key and the digest to store; the key itself is shown once and stored nowhere. */
export function newKey(): { readonly key: string; readonly sha256: string } {
  const key = randomBytes(32).toString('base64url');
  return { key, sha256: digestOf(key).toString('hex') };
}
