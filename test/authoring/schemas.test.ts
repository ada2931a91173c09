/** The JSON Schemas of the rule files, read by a validator of their own (ajv, JSON Schema draft 2020-12). */
import { readdirSync, readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import { schemasOfRuleFiles } from '../../src/authoring/schemas.ts';

const read = (path: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8'));
const list = (path: string): string[] =>
  readdirSync(new URL(`../../${path}`, import.meta.url)).filter((name) => name.endsWith('.json'));

const VERSION = 'rules/front-crawl/1.0.0';
const schemas = schemasOfRuleFiles();
const ajv = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true });
ajv.addFormat('date', /^\d{4}-\d{2}-\d{2}$/);
const validators = new Map(Object.entries(schemas).map(([file, schema]) => [file, ajv.compile(schema)]));

const files: [path: string, schema: string][] = [
  ...list(VERSION).map((name): [string, string] => [`${VERSION}/${name}`, name.replace('.json', '')]),
  ...list(`${VERSION}/texts`).map((name): [string, string] => [`${VERSION}/texts/${name}`, 'texts']),
  ...list(`${VERSION}/cases`).map((name): [string, string] => [`${VERSION}/cases/${name}`, 'cases']),
];

describe('the schemas in rules/schemas', () => {
  test('are the ones that the code gives; npm run schemas writes them', () => {
    const written = Object.fromEntries(
      list('rules/schemas').map((name) => [name.replace('.schema.json', ''), read(`rules/schemas/${name}`)]),
    );
    expect(written).toEqual(JSON.parse(JSON.stringify(schemas)));
  });

  test('are each given to the editor for the files that they describe', () => {
    const settings = read('.vscode/settings.json') as {
      'json.schemas': { fileMatch: string[]; url: string }[];
    };
    const matched = settings['json.schemas'].map(({ url }) => url);
    expect(matched.sort()).toEqual(
      Object.keys(schemas)
        .map((file) => `./rules/schemas/${file}.schema.json`)
        .sort(),
    );
  });

  test.each(files)('%s is valid', (path, schema) => {
    const validate = validators.get(schema);
    validate?.(read(path));
    expect(validate?.errors ?? []).toEqual([]);
  });

  test.each([
    ['an unknown field', { mend: 'x' }],
    ['an id that is not kebab-case', { id: 'Not Kebab' }],
    ['a rule without its event', { event: undefined }],
  ])('refuse %s in a link', (_, change) => {
    const [first, ...rest] = read(`${VERSION}/links.json`) as object[];
    const broken = JSON.parse(JSON.stringify([{ ...first, ...change }, ...rest]));
    expect(validators.get('links')?.(broken)).toBe(false);
  });
});
