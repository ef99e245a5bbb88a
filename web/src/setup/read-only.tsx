import { Notice } from '../parts';

/** Says that this may be read and who writes it; nothing to those who may write. */
export function ReadOnly({ unless, children }: { unless: boolean; children: string }) {
  if (unless) return null;
  return (
    <Notice>
      <p>{children}</p>
    </Notice>
  );
}
