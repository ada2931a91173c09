/** `docker-compose.yml` as data. */
import { readFile } from 'node:fs/promises';
import { parse } from 'yaml';

export interface Compose {
  readonly services: {
    readonly [name: string]: {
      readonly image?: string;
      readonly environment?: { readonly [name: string]: string };
      readonly ports?: readonly string[];
      readonly read_only?: boolean;
      readonly cap_drop?: readonly string[];
      readonly security_opt?: readonly string[];
      readonly deploy?: { readonly replicas?: number; readonly resources?: { readonly limits?: object } };
    };
  };
  readonly configs: { readonly nginx: { readonly content: string } };
}

export async function readCompose(): Promise<Compose> {
  return parse(await readFile(new URL('../../docker-compose.yml', import.meta.url), 'utf8'));
}
