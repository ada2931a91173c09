/**
 * The lock: what each published version of a rule set is made of, so that it can no longer change unnoticed. `digest` is
 * the address of its content, the one that answers carry; `files` are SHA-256 over the bytes, so that a changed byte, be it
 * white space, names its file. Pure: nothing here reads a disk.
 */
import { createHash } from 'node:crypto';
import { z } from 'zod';

const Sha256 = z.string().regex(/^sha-256:[0-9a-f]{64}$/, 'must be "sha-256:" and 64 hex digits');

export const LockEntry = z.strictObject({ digest: Sha256, files: z.record(z.string(), Sha256) });
export type LockEntry = z.infer<typeof LockEntry>;

/** By `name@version`. */
export const Lock = z.record(
  z.string().regex(/^[a-z0-9-]+@\d+\.\d+\.\d+$/, 'must be name@version'),
  LockEntry,
);
export type Lock = z.infer<typeof Lock>;

/** A version as it stands on disk. */
export interface FoundVersion {
  /** `name@version`, after its folders. */
  readonly id: string;
  /** Undefined where the manifest cannot be read. */
  readonly status: string | undefined;
  /** Digests of the bytes, by the path of the file inside the version. */
  readonly files: ReadonlyMap<string, string>;
}

export interface LockFault {
  readonly code:
    | 'changed-file'
    | 'missing-file'
    | 'added-file'
    | 'missing-version'
    | 'not-locked'
    | 'locked-draft'
    | 'changed-digest';
  readonly version: string;
  readonly file?: string;
  readonly message: string;
}

const RETIRED = '"status": "retired"';

/** @returns the digest of a file of a version. Retiring a published version is the one change that it may see. */
export function fileDigest(file: string, bytes: Buffer): string {
  const text = file === 'rule-set.json' ? bytes.toString('utf8') : undefined;
  const content = text?.includes(RETIRED) ? text.replace(RETIRED, '"status": "published"') : bytes;
  return `sha-256:${createHash('sha256').update(content).digest('hex')}`;
}

const path = (version: string, file: string): string => `${version.replace('@', '/')}/${file}`;

function changed(locked: LockEntry, { id, files }: FoundVersion): LockFault[] {
  const names = [...new Set([...Object.keys(locked.files), ...files.keys()])].sort();
  return names.flatMap((file): LockFault[] => {
    const [was, is] = [locked.files[file], files.get(file)];
    if (was === is) return [];
    const [code, what] =
      is === undefined
        ? (['missing-file', 'is missing'] as const)
        : was === undefined
          ? (['added-file', 'was added'] as const)
          : (['changed-file', 'was changed'] as const);
    const message = `${path(id, file)} ${what} after ${id} was published; a published version cannot change: undo it, or make a new version`;
    return [{ code, version: id, file, message }];
  });
}

/** @returns every way in which what stands on disk is not what was published; empty when the locks hold. */
export function lockFaults(lock: Lock, found: readonly FoundVersion[]): LockFault[] {
  const onDisk = new Map(found.map((v) => [v.id, v]));
  const gone = Object.keys(lock)
    .filter((id) => !onDisk.has(id))
    .map((id): LockFault => {
      const message = `${id} is published in lock.json, but its folder ${id.replace('@', '/')} is missing`;
      return { code: 'missing-version', version: id, message };
    });
  const standing = found.flatMap((version): LockFault[] => {
    const { id, status } = version;
    const locked = lock[id];
    if (locked === undefined) {
      if (status !== 'published' && status !== 'retired') return [];
      const message = `${path(id, 'rule-set.json')} says "${status}", but ${id} is not in lock.json; publish it with: npm run rules -- publish`;
      return [{ code: 'not-locked', version: id, file: 'rule-set.json', message }];
    }
    if (status === 'draft') {
      const message = `${path(id, 'rule-set.json')} says "draft", but ${id} is published in lock.json; a published version can be retired, not taken back`;
      return [{ code: 'locked-draft', version: id, file: 'rule-set.json', message }];
    }
    return changed(locked, version);
  });
  return [...gone, ...standing];
}

/** @returns versions whose content has another address than when they were published, though no byte of them changed. */
export function digestFaults(
  lock: Lock,
  sets: readonly { readonly manifest: { name: string; version: string }; readonly digest: string }[],
): LockFault[] {
  return sets.flatMap(({ manifest, digest }): LockFault[] => {
    const id = `${manifest.name}@${manifest.version}`;
    const was = lock[id]?.digest;
    if (was === undefined || was === digest) return [];
    const message = `${id} has the digest ${digest}, but was published as ${was}: the way in which rule sets are read has changed`;
    return [{ code: 'changed-digest', version: id, message }];
  });
}
