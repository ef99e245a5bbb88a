import { Button, Notice } from '../parts';
import { words } from '../words';
import type { Trouble } from './use-draft';

/** Why the last tap is not kept on this phone, and what to do about it. Nothing kept before is lost. */
export function KeepTrouble({ trouble }: { trouble: Trouble | null }) {
  const { mark } = words.value.walk;
  switch (trouble) {
    case null:
      return null;
    case 'full':
      return (
        <Notice kind="problem" title={mark.fullTitle}>
          <p>{mark.full}</p>
        </Notice>
      );
    case 'elsewhere':
      return (
        <Notice kind="problem" title={mark.elsewhereTitle}>
          <p>{mark.elsewhere}</p>
          <Button kind="primary" onClick={() => location.reload()}>
            {mark.elsewhereGo}
          </Button>
        </Notice>
      );
    case 'unkept':
      return (
        <Notice kind="doubt">
          <p>{mark.notKept}</p>
        </Notice>
      );
  }
}
