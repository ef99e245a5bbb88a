import type { Organism } from '../contract.gen';
import { language } from '../words';

/** The common name of an organism in the reader's language. */
export function organismName(organism: Organism): string {
  return language.value === 'es' ? organism.common_name_es : organism.common_name;
}

/** An organism by its common and its scientific name. */
export function organismLabel(organism: Organism): string {
  return `${organismName(organism)} (${organism.scientific_name})`;
}

/** Organisms to choose from, by name. */
export function organismOptions(organisms: readonly Organism[]): { value: string; label: string }[] {
  return organisms.map((one) => ({ value: one.id, label: organismLabel(one) })).toSorted((a, b) => a.label.localeCompare(b.label));
}
