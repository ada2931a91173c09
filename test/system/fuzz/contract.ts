/** The contract as the service serves it: its operations, their examples, and a judge of their answers. */
import { Ajv2020 } from 'ajv/dist/2020.js';
import { NDJSON } from '../../../src/contract/batch.ts';

export type Json = { readonly [key: string]: Json } & { readonly [key: string]: unknown };

export interface Operation {
  readonly id: string;
  readonly method: string;
  readonly path: string;
  readonly examples: readonly { readonly type: string; readonly value: unknown }[];
  /** Media types by status. */
  readonly answers: ReadonlyMap<string, readonly string[]>;
}

export interface Contract {
  readonly operations: readonly Operation[];
  /** @returns what is wrong with an answer; empty when the contract allows it. */
  faultsOf(operation: Operation, status: number, mediaType: string, body: string): string[];
}

const escaped = (text: string): string => text.replaceAll('~', '~0').replaceAll('/', '~1');

export function readContract(document: Json): Contract {
  const ajv = new Ajv2020({ strict: false, validateFormats: false, allErrors: false });
  ajv.addSchema(document, 'contract');
  const operations = Object.entries(document.paths as Json).flatMap(([path, methods]) =>
    Object.entries(methods as Json).map(([method, operation]): Operation => {
      const content = ((operation.requestBody as Json | undefined)?.content ?? {}) as Json;
      return {
        id: operation.operationId as unknown as string,
        method: method.toUpperCase(),
        path,
        examples: Object.entries(content).flatMap(([type, media]) =>
          Object.values((media.examples ?? {}) as Json).map((example) => ({ type, value: example.value })),
        ),
        answers: new Map(
          Object.entries(operation.responses as Json).map(([status, response]) => [
            status,
            Object.keys((response.content ?? {}) as Json),
          ]),
        ),
      };
    }),
  );
  const validators = new Map<string, ReturnType<typeof ajv.compile>>();
  function validatorOf({ path, method }: Operation, status: string, type: string) {
    const place = ['paths', path, method.toLowerCase(), 'responses', status, 'content', type, 'schema'];
    // the schema of lines is that of each line
    if (type === NDJSON) place.push('contentSchema');
    const reference = `contract#/${place.map(escaped).map(encodeURIComponent).join('/')}`;
    const known = validators.get(reference) ?? ajv.compile({ $ref: reference });
    validators.set(reference, known);
    return known;
  }
  return {
    operations,
    faultsOf(operation, status, mediaType, body) {
      const types = operation.answers.get(String(status));
      if (types === undefined) return [`the status ${status} is not declared`];
      const type = mediaType.split(';')[0] as string;
      if (status === 304) return [];
      if (!types.includes(type)) return [`the type "${mediaType}" is not declared for ${status}`];
      if (!type.endsWith('json')) return [];
      const valid = validatorOf(operation, String(status), type);
      const values = type === NDJSON ? body.split('\n').filter((line) => line !== '') : [body];
      return values.flatMap((text) => (valid(JSON.parse(text)) ? [] : [ajv.errorsText(valid.errors)]));
    },
  };
}
