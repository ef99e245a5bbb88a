import type { Organism } from '../contract.gen';
import { commonName } from '../organism';

/** An organism by its common and its scientific name. */
export function organismLabel(organism: Organism): string {
  return `${commonName(organism)} (${organism.scientific_name})`;
}

/** Organisms to choose from, by name. */
export function organismOptions(organisms: readonly Organism[]): { value: string; label: string }[] {
  return organisms.map((one) => ({ value: one.id, label: organismLabel(one) })).toSorted((a, b) => a.label.localeCompare(b.label));
}
