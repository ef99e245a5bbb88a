import type { Organism } from './contract.gen';
import { language, words } from './words';

/** What people call a pest or disease, in the language being shown. */
export function commonName(organism: Organism | undefined): string {
  if (!organism) return words.value.common.unknown;
  return language.value === 'es' ? organism.common_name_es : organism.common_name;
}

/** Where on the plant it is looked for, in the language being shown. */
export function whereToLook(organism: Organism): string {
  const text = language.value === 'es' ? (organism.where_to_look_es ?? organism.where_to_look) : organism.where_to_look;
  return text ?? '';
}

/** The duty that finding it brings, in the language being shown; a caution in the other language is better than none. */
export function regulatedNote(organism: Organism): string {
  const text = language.value === 'es' ? (organism.regulated_note_es ?? organism.regulated_note) : organism.regulated_note;
  return text ?? '';
}
