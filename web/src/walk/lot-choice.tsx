import { Fragment } from 'preact';
import { useState } from 'preact/hooks';

import type { Daybook, Lot } from '../contract.gen';
import { Pause, TextField } from '../parts';
import { words } from '../words';
import { reasonsText } from './plan-said';
import type { Names, Standing, Stop } from './round';
import { lotName, resultText } from './said';

interface LotButtonProps {
  title: string;
  lines: (string | undefined)[];
  onChoose: () => void;
}

function LotButton({ title, lines, onChoose }: LotButtonProps) {
  return (
    <li>
      <button type="button" class="walk-lot" onClick={onChoose}>
        <b>{title}</b>
        {lines.map(
          (line) =>
            line !== undefined && (
              <Fragment key={line}>
                <Pause />
                <span>{line}</span>
              </Fragment>
            ),
        )}
      </button>
    </li>
  );
}

interface ChoiceProps {
  book: Daybook;
  stop: Stop;
  names: Names;
  onChoose: (lotId: string | null) => void;
}

/** Which lot is looked at: those that stand here first, then any other, or that it is not known. */
export function LotChoice({ book, stop, names, onChoose }: ChoiceProps) {
  const { walk, common } = words.value;
  const [other, setOther] = useState(false);
  const foliage = (lot: Lot | undefined): string | undefined => {
    const cultivar = names.cultivar(lot?.cultivar_id);
    return cultivar && walk.lot.foliage[cultivar.foliage];
  };
  const askedText = (lotId: string): string | undefined => {
    const asked = stop.asked?.find(({ look }) => look.lot_id === lotId);
    if (asked) return [walk.plan.inHand(asked.done, asked.look.plants), reasonsText(asked.look, names)].join(' · ');
    return stop.asked?.length ? walk.plan.besides : undefined;
  };
  const standing = ({ lot_id, lot, plants, looks }: Standing) => (
    <LotButton
      key={lot_id}
      title={lotName(lot, names)}
      lines={[
        [foliage(lot), walk.lot.standsHere(common.plants(plants))].filter(Boolean).join(' · '),
        askedText(lot_id),
        walk.lot.looked(resultText(looks, names.mainOrganism(lot), names)),
      ]}
      onChoose={() => onChoose(lot_id)}
    />
  );
  return (
    <section class="section">
      <header class="section-head">
        <h2 tabIndex={-1}>{walk.lot.choose}</h2>
      </header>
      {stop.standing.length === 0 && <p>{walk.lot.nothingHere}</p>}
      <ul class="walk-lots">
        {stop.standing.map(standing)}
        <LotButton title={walk.lot.notKnown} lines={[walk.lot.notKnownHint]} onChoose={() => onChoose(null)} />
        {!other && <LotButton title={walk.lot.another} lines={[walk.lot.anotherHint]} onChoose={() => setOther(true)} />}
      </ul>
      {other && <LotSearch lots={book.lots} names={names} onChoose={onChoose} />}
    </section>
  );
}

const most = 12;

/** Finds a lot with plants on hand by its code or cultivar; the daybook also has lots that are not here yet, or no longer. */
export function LotSearch({ lots, names, onChoose }: { lots: readonly Lot[]; names: Names; onChoose: (lotId: string) => void }) {
  const { walk, common } = words.value;
  const [text, setText] = useState('');
  const plain = (said: string): string => said.toLowerCase().normalize('NFD').replace(/[^a-z0-9]/g, '');
  const wanted = text.split(/\s+/).map(plain);
  const fitting = lots.filter((lot) => lot.plants_on_hand > 0 && wanted.every((part) => plain(lotName(lot, names)).includes(part)));
  return (
    <div class="stack">
      <TextField label={walk.lot.search} type="search" value={text} onValue={setText} autocomplete="off" />
      <p class="quiet" role="status">
        {fitting.length > 0 ? walk.lot.found(fitting.length) : walk.lot.none}
      </p>
      <ul class="walk-lots">
        {fitting.slice(0, most).map((lot) => {
          const cultivar = names.cultivar(lot.cultivar_id);
          return (
            <LotButton
              key={lot.id}
              title={lotName(lot, names)}
              lines={[[cultivar && walk.lot.foliage[cultivar.foliage], common.plants(lot.plants_on_hand)].filter(Boolean).join(' · ')]}
              onChoose={() => onChoose(lot.id)}
            />
          );
        })}
      </ul>
    </div>
  );
}
