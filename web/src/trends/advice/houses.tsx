import type { Advice, AdviceList, TrendGroup } from '../../contract.gen';
import { format, words } from '../../words';
import { atStart } from '../answers';
import { standingOf } from '../order';
import { inOrder, inShort } from './sentences';

interface HousesProps {
  by: 'lot' | 'cultivar' | 'house';
  group: TrendGroup;
  list: AdviceList;
}

/** Where the group and what it stands among are, and what to do about each, in one line for each. */
export function Houses({ by, group, list }: HousesProps) {
  const { houses: say } = words.value.advice;
  const speech = { words: words.value, format: format.value };
  if (list.items.length === 0) return null;
  const foldOf = ({ cultivar, house }: Advice): string | null => (list.items.length === 1 ? null : by === 'house' ? cultivar : house);
  return (
    <section class="advice-houses" aria-label={say.title[by]}>
      <p>
        {say.this[by]}: <b>{say.standing[standingOf(group.answer)]}</b>. {say.title[by]}:
      </p>
      <ul>
        {inOrder(list.items).map((advice) => (
          <li key={`${advice.cultivar_id} ${advice.house_id}`}>
            {say.all(advice.cultivar, advice.house)}: {say.standing[standingOf(advice.answer ?? { code: 'no_looks' })]} → <b>{atStart(inShort(advice, speech, foldOf(advice)))}</b>
          </li>
        ))}
      </ul>
    </section>
  );
}
