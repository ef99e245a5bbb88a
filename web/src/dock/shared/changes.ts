import type { Revision } from '../../contract.gen';

/** One member of a record that differs between two versions. */
export interface Change {
  member: string;
  from: unknown;
  to: unknown;
}

/** The members of `after` that the server names as changed since `before`, each once. */
export function changesOf(before: Pick<Revision, 'body'>, after: Pick<Revision, 'body' | 'changed'>): Change[] {
  const members = new Set(after.changed.map((pointer) => pointer.replace(/^#/, '').split('/')[1] ?? ''));
  members.delete('');
  return [...members].map((member) => ({ member, from: before.body[member], to: after.body[member] }));
}
