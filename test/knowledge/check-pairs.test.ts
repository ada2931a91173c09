/** What means one thing is written once. */
import { expect, test } from 'vitest';
import { at, faultsAfter, shipped } from './shipped.ts';

test('a second link of one cause and finding', () => {
  const { links } = shipped.parts;
  const first = at(links, 0);
  const faults = faultsAfter((parts, texts) => {
    parts.links.push({ ...structuredClone(at(parts.links, 0)), id: 'another-name' });
    texts.links['another-name'] = 'text';
  });
  const { finding, cause } = first.event.params;
  expect(faults).toEqual([
    `links.json#/${links.length}/event/params: "${finding}" already speaks for "${cause}" in "${first.id}": one finding counts once for one cause`,
  ]);
});

test('a second driver of one pair', () => {
  const { drivers } = shipped.parts;
  const first = at(drivers, 0);
  const faults = faultsAfter((parts, texts) => {
    parts.drivers.push({ ...at(parts.drivers, 0), id: 'another-name' });
    texts.drivers['another-name'] = 'text';
  });
  expect(faults).toEqual([
    `drivers.json#/${drivers.length}: "${first.driver}" already drives "${first.driven}" in "${first.id}"`,
  ]);
});
