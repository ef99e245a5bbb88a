import { useState } from 'preact/hooks';

import { Button, Form, TextField } from '../parts';
import { words } from '../words';

/** Why a look is withdrawn; it is kept and marked. */
export function WithdrawForm({ busy, onWithdraw }: { busy: boolean; onWithdraw: (why: string) => void }) {
  const { look } = words.value.walk;
  const [why, setWhy] = useState('');
  return (
    <Form onSubmit={() => why.trim() !== '' && onWithdraw(why.trim())}>
      <TextField label={look.why} hint={look.whyHint} pointer="/withdrawn_because" maxLength={500} value={why} onValue={setWhy} />
      <div class="form-actions">
        <Button type="submit" kind="strong" busy={busy} disabled={why.trim() === ''}>
          {look.withdraw}
        </Button>
      </div>
    </Form>
  );
}
