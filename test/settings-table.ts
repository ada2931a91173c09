/** The table of settings in the README, from the schema that reads them. `npm run settings` writes it. */
import { z } from 'zod';
import { Settings } from '../src/server/config.ts';
import { README, writeBlock } from './docs-blocks.ts';

/** Depends on the machine, so the table says how it comes about. */
const OWN_DEFAULT: { readonly [name: string]: string } = { WORKERS: 'one a core' };

export function settingsTable(): string {
  const { properties = {} } = z.toJSONSchema(Settings, { io: 'input', unrepresentable: 'any' });
  const rows = Object.entries(properties).map(([name, schema]) => {
    const { default: fallback, description } = schema as { default?: string; description?: string };
    const shown = OWN_DEFAULT[name] ?? (fallback === undefined ? '' : `\`${fallback}\``);
    return `| \`${name}\` | ${shown} | ${description} |`;
  });
  return ['| variable | default | meaning |', '|---|---|---|', ...rows].join('\n');
}

if (import.meta.main) await writeBlock(README, 'settings', settingsTable());
