/** What drives what, as the rule set says it: for the story and for the order of work. */
import type { DriverEntry } from '../knowledge/parts.ts';
import type { RuleSet } from '../knowledge/rule-set.ts';
import { remembered } from './remembered.ts';

/** Drivers of each cause: the first edge between two of them holds. */
export const driversOf = remembered(
  ({ parts }: RuleSet): ReadonlyMap<string, ReadonlyMap<string, DriverEntry>> => {
    const byDriven = new Map<string, Map<string, DriverEntry>>();
    for (const edge of parts.drivers) {
      const drivers = byDriven.get(edge.driven) ?? new Map<string, DriverEntry>();
      byDriven.set(edge.driven, drivers);
      if (!drivers.has(edge.driver)) drivers.set(edge.driver, edge);
    }
    return byDriven;
  },
);
