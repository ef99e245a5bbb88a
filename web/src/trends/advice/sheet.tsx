import './advice.css';

import { client, read } from '../../api';
import type { Advice, AdviceList } from '../../contract.gen';
import { ButtonLink, Empty, Loaded, Section, useLoad, type Load } from '../../parts';
import { words } from '../../words';
import { More } from '../more';
import type { Question } from './question';
import { inOrder, isGone } from './sentences';
import { Worksheet } from './worksheet';

function Sheets({ list, organism, onChange }: { list: AdviceList; organism: string; onChange: () => void }) {
  const { advice: say } = words.value;
  const items = inOrder(list.items);
  const [only] = items;
  if (!only) {
    return (
      <Empty title={say.emptyTitle} action={<ButtonLink to="/walk">{say.toWalk}</ButtonLink>}>
        <p>{say.empty}</p>
      </Empty>
    );
  }
  const nameOf = ({ cultivar, house }: Advice): string => say.of(cultivar, house);
  const keyOf = ({ cultivar_id: cultivar, house_id: house }: Advice): string => [cultivar, house, list.organism_id, list.season_id].join(' ');
  const sheet = (advice: Advice) => <Worksheet key={keyOf(advice)} advice={advice} list={list} organism={organism} onChange={onChange} />;
  if (items.length === 1) {
    return (
      <>
        <h3 class="aside-only">{nameOf(only)}</h3>
        {sheet(only)}
      </>
    );
  }
  return (
    <ul class="advice-sheets">
      {items.map((advice, i) => (
        <li key={keyOf(advice)}>
          <More
            class="advice-fold"
            open={i === 0}
            summary={
              <>
                <h3>{nameOf(advice)}</h3> <span class="tag">{isGone(advice) ? say.goneTag : say.code[advice.suggestion.code]}</span>
              </>
            }
          >
            {() => sheet(advice)}
          </More>
        </li>
      ))}
    </ul>
  );
}

/** The advice for a question; nothing where there is none to ask. */
export function useAdvice(query: Question | null): Load<AdviceList | null> {
  return useLoad(async (signal) => (query ? read(client.GET('/advice', { params: { query }, signal })) : null), [JSON.stringify(query)]);
}

interface SheetProps {
  query: Question;
  load: Load<AdviceList | null>;
  organism: string;
}

/** What to do about a lot, a cultivar or a house: a worksheet for each cultivar in a house. */
export function AdviceSheet({ query, load, organism }: SheetProps) {
  const { advice: say } = words.value;
  return (
    <Section title={say.title} lead={query.lot_id !== undefined ? say.leadLot : query.cultivar_id !== undefined && query.house_id === undefined ? say.leadCultivar : say.lead}>
      <div class="advice">
        <Loaded of={load}>{(list) => list && <Sheets list={list} organism={organism} onChange={load.reload} />}</Loaded>
      </div>
    </Section>
  );
}
