import { useRef, useState } from 'preact/hooks';

import { fetchAll } from '../api';
import type { Daybook, Doubt, Look, LookBody } from '../contract.gen';
import { Button, Form, Loaded, MomentField, Notice, notify, ProblemNotice, TextField, useLoad } from '../parts';
import { toProblem, type ApiProblem } from '../problem';
import { canRecord } from '../session';
import { words } from '../words';
import { LotSearch } from './lot-choice';
import type { Names } from './round';
import { lotName } from './said';
import { settleLook } from './send';
import { WithdrawForm } from './withdraw';

interface DoubtsProps {
  look: Look;
  book: Daybook;
  names: Names;
  onChanged: (look: Look) => void;
}

type Way = 'lot' | 'time' | 'stands' | 'withdraw';

/** Whether it is the moment that is in doubt, and not the lot. */
function ofTime(code: Doubt['code']): boolean {
  return code === 'in_the_future' || code === 'clock_changed';
}

/** What is doubtful about a look, why, and the ways to settle it. */
export function Doubts({ look, book, names, onChanged }: DoubtsProps) {
  const { doubt } = words.value.walk;
  const [way, setWay] = useState<Way | null>(null);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const part = useRef<HTMLDivElement>(null);
  if (look.doubts.length === 0) return null;
  const open = look.doubts.some(({ settled }) => !settled) && !look.withdrawn_because;
  const may = canRecord(look.site_id);
  const settle = async (change: Partial<LookBody>): Promise<void> => {
    part.current?.focus(); // what was pressed goes when it is settled
    setBusy(true);
    setProblem(null);
    try {
      const changed = await settleLook(look, change);
      const still = !changed.withdrawn_because && changed.doubts.some(({ settled }) => !settled);
      notify(still ? doubt.stillInDoubt : doubt.settled);
      setWay(null);
      onChanged(changed);
    } catch (thrown) {
      setProblem(toProblem(thrown));
    } finally {
      setBusy(false);
    }
  };
  const codes = look.doubts.map(({ code }) => code);
  const ways: { way: Way; label: string }[] = [
    ...(codes.some(ofTime) ? [{ way: 'time' as const, label: doubt.rightTime }] : []),
    ...(codes.some((code) => !ofTime(code)) ? [{ way: 'lot' as const, label: doubt.rightLot }] : []),
    { way: 'stands', label: doubt.stands },
    { way: 'withdraw', label: doubt.withdraw },
  ];
  const title = open ? doubt.heading : doubt.settledHeading;
  return (
    <div ref={part} tabIndex={-1} role="group" aria-label={title}>
      <Notice kind="doubt" title={title}>
        {codes.map((code) => (
          <p key={code}>{code === 'lot_not_in_block' ? doubt.lot_not_in_block(lotName(names.lot(look.lot_id), names)) : doubt[code]}</p>
        ))}
        {look.settled_because && <p>{doubt.settledBecause(look.settled_because)}</p>}
        {problem && <ProblemNotice problem={problem} />}
        {open && (
          <div class="row">
            {ways.map(({ way: one, label }) => (
              <Button key={one} disabled={!may || busy} aria-expanded={way === one} onClick={() => setWay(way === one ? null : one)}>
                {label}
              </Button>
            ))}
          </div>
        )}
        {open && way === 'lot' && <RightLot look={look} book={book} names={names} onChoose={(lot_id) => void settle({ lot_id })} />}
        {open && way === 'time' && (
          <RightTime look={look} zone={book.site.time_zone} busy={busy} onTime={(looked_at) => void settle({ looked_at })} />
        )}
        {open && way === 'stands' && <Stands busy={busy} onStands={(settled_because) => void settle({ settled_because })} />}
        {open && way === 'withdraw' && <WithdrawForm busy={busy} onWithdraw={(withdrawn_because) => void settle({ withdrawn_because })} />}
      </Notice>
    </div>
  );
}

function RightLot({ look, book, names, onChoose }: { look: Look; book: Daybook; names: Names; onChoose: (lotId: string) => void }) {
  const { doubt, lot: said } = words.value.walk;
  const load = useLoad(
    (signal) => fetchAll('placements', { block_id: look.block_id, at: look.looked_at }, signal),
    [look.block_id, look.looked_at],
  );
  return (
    <Loaded of={load}>
      {(placements) => {
        const stood = [...new Set(placements.map(({ lot_id }) => lot_id))].filter((id) => id !== look.lot_id);
        return (
          <div class="stack">
            <p>{stood.length > 0 ? doubt.stoodThen : doubt.noneStood}</p>
            <div class="row">
              {stood.map((id) => (
                <Button key={id} kind="strong" onClick={() => onChoose(id)}>
                  {lotName(names.lot(id), names)}
                </Button>
              ))}
            </div>
            <h3>{said.another}</h3>
            <LotSearch lots={book.lots.filter(({ id }) => id !== look.lot_id)} names={names} onChoose={onChoose} />
          </div>
        );
      }}
    </Loaded>
  );
}

function RightTime({ look, zone, busy, onTime }: { look: Look; zone: string; busy: boolean; onTime: (moment: string) => void }) {
  const { doubt } = words.value.walk;
  const [moment, setMoment] = useState<string | null>(look.looked_at);
  return (
    <Form onSubmit={() => moment !== null && onTime(moment)}>
      <MomentField label={doubt.time} pointer="/looked_at" zone={zone} value={moment} onValue={setMoment} />
      <div class="form-actions">
        <Button type="submit" kind="strong" busy={busy} disabled={moment === null}>
          {words.value.common.save}
        </Button>
      </div>
    </Form>
  );
}

function Stands({ busy, onStands }: { busy: boolean; onStands: (why: string) => void }) {
  const { doubt } = words.value.walk;
  const [why, setWhy] = useState('');
  return (
    <Form onSubmit={() => why.trim() !== '' && onStands(why.trim())}>
      <TextField label={doubt.whyStands} hint={doubt.whyStandsHint} maxLength={500} value={why} onValue={setWhy} />
      <div class="form-actions">
        <Button type="submit" kind="strong" busy={busy} disabled={why.trim() === ''}>
          {doubt.stands}
        </Button>
      </div>
    </Form>
  );
}
