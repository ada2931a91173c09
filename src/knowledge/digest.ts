/** Content addresses: SHA-256 over the RFC 8785 (canonical JSON) form. */
import { createHash } from 'node:crypto';
import canonicalize from 'canonicalize';

/** @returns `sha-256:` and 64 hex digits. @throws when the value has no JSON form (NaN, infinity). */
export function digestOf(value: unknown): string {
  const canonical = canonicalize(value);
  if (canonical === undefined) throw new TypeError('value has no JSON form');
  return `sha-256:${createHash('sha256').update(canonical, 'utf8').digest('hex')}`;
}
