import './origin.css';

import { client, read } from '../../api';
import { Answer, Loaded, Section, useLoad } from '../../parts';
import { format, words } from '../../words';
import type { Question } from '../advice';
import { Marked } from '../marked';
import { OriginFacts } from './facts';
import { followsText, originAnswer } from './sentences';
import { OriginTerms } from './terms';

/** Whether infestation follows the arrivals or the houses: the answer, the facts of each lot, and how it was worked out. */
export function OriginReading({ query, organism }: { query: Question; organism: string }) {
  const { origin: say } = words.value;
  const load = useLoad((signal) => read(client.GET('/origins', { params: { query }, signal })), [JSON.stringify(query)]);
  return (
    <Section title={say.title} lead={query.lot_id === undefined ? say.lead : say.leadLot}>
      <div class="origin">
        <Loaded of={load}>
          {(origin) => (
            <>
              <Answer>
                <Marked text={originAnswer(origin, organism, { words: words.value, format: format.value })} />
              </Answer>
              <p class="origin-text">{followsText(origin, { words: words.value, format: format.value })}</p>
              <OriginTerms origin={origin} />
              <OriginFacts facts={origin.facts} organism={organism} />
            </>
          )}
        </Loaded>
      </div>
    </Section>
  );
}
