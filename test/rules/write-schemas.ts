/** `npm run schemas` writes the JSON Schemas of the rule files to rules/schemas. */
import { writeFile } from 'node:fs/promises';
import { schemasOfRuleFiles } from '../../src/authoring/schemas.ts';

const schemas = Object.entries(schemasOfRuleFiles());
for (const [file, schema] of schemas) {
  const target = new URL(`../../rules/schemas/${file}.schema.json`, import.meta.url);
  await writeFile(target, `${JSON.stringify(schema, null, 2)}\n`);
}
console.log(`rules/schemas written, ${schemas.length} files`);
