import { useState } from 'preact/hooks';

import { Button, Details, TextField } from '../../parts';
import { readsOnly } from '../../session';
import { words } from '../../words';

interface Props {
  /** Why it was withdrawn, when it is. */
  withdrawn: string | null;
  busy: boolean;
  onWithdraw: (because: string) => void;
  onRestore: () => void;
}

/** Takes a record back, saying why; or puts it back. It is kept either way. */
export function Withdraw({ withdrawn, busy, onWithdraw, onRestore }: Props) {
  const { withdraw } = words.value.dock;
  const [because, setBecause] = useState<string>(withdraw.byMistake);
  if (readsOnly()) return null;
  if (withdrawn !== null) {
    return (
      <div>
        <Button busy={busy} onClick={onRestore}>
          {withdraw.restore}
        </Button>
      </div>
    );
  }
  return (
    <Details summary={withdraw.title}>
      <div class="dock-row">
        <TextField label={withdraw.why} hint={withdraw.hint} value={because} onValue={setBecause} maxLength={500} class="dock-row-grow" />
        <Button class="dock-beside" busy={busy} disabled={because.trim() === ''} onClick={() => onWithdraw(because.trim())}>
          {withdraw.title}
        </Button>
      </div>
    </Details>
  );
}
