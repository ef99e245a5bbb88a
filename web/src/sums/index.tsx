import { useEffect, useState } from 'preact/hooks';

import { Page } from '../parts';
import { Link, useRoute } from '../router';
import { format, words } from '../words';
import { degreeDaysAnswer, differenceAnswer, proportionAnswer, sampleSizeAnswer, stopLinesAnswer } from './answers';
import { sumIds, type SumId } from './members';
import { addressOf, example, readState, type Texts } from './state';
import { StopLines } from './stop-lines';
import { Sum } from './sum';
import './sums.css';

type Asked = Record<SumId, Texts>;

const examples: Asked = {
  'sample-size': example('sample-size'),
  proportion: example('proportion'),
  difference: example('difference'),
  'stop-lines': example('stop-lines'),
  'degree-days': example('degree-days'),
};

/** The fields of every sum: those of the address, and for the others what they were asked with last. */
function useAsked(): Asked {
  const { query } = useRoute();
  const { sum, texts } = readState(query);
  const [kept, keep] = useState(examples);
  const asked = sum === null || texts === null ? kept : { ...kept, [sum]: texts };
  useEffect(() => keep(asked), [query]);
  return asked;
}

function Contents({ asked }: { asked: Asked }) {
  const { sums } = words.value;
  const { sum } = readState(useRoute().query);
  const show = (id: SumId): void => {
    const place = document.getElementById(`sum-${id}`);
    place?.scrollIntoView();
    place?.focus({ preventScroll: true });
  };
  return (
    <nav class="sums-contents" aria-label={sums.contents}>
      <ul>
        {sumIds.map((id) => (
          <li key={id}>
            <Link to={addressOf(id, asked[id])} aria-current={sum === id ? 'true' : undefined} onClick={() => setTimeout(() => show(id))}>
              {sums.name[id]}
            </Link>
          </li>
        ))}
      </ul>
    </nav>
  );
}

/** Five sums for whoever wants to check the pages or to teach with them. Needs no sign-in. */
export default function Sums() {
  const { sums } = words.value;
  const asked = useAsked();
  const speech = { words: words.value, format: format.value };
  const { percent, interval } = { percent: (n: number) => `${format.value.number(n, 4)}\u00a0%`, interval: format.value.interval };
  return (
    <Page title={sums.title} width="wide">
      <p class="lead">{sums.lead}</p>
      <Contents asked={asked} />
      <Sum sum="sample-size" asked={asked['sample-size']}>
        {(answer) => ({
          answer: sampleSizeAnswer(answer, speech),
          facts: [{ term: sums.infestedUnits(percent(answer.detection_percent)), value: format.value.count(answer.infested_units) }],
        })}
      </Sum>
      <Sum sum="proportion" asked={asked.proportion}>
        {(answer) => ({
          answer: proportionAnswer(answer, speech),
          facts: [
            {
              term: sums.interval(percent(answer.confidence_percent)),
              value: interval(answer.infested_percent, answer.lower_percent, answer.upper_percent),
            },
          ],
        })}
      </Sum>
      <Sum sum="difference" asked={asked.difference}>
        {(answer) => ({ answer: differenceAnswer(answer, speech) })}
      </Sum>
      <Sum sum="stop-lines" asked={asked['stop-lines']}>
        {(answer) => ({ answer: stopLinesAnswer(answer, speech), more: <StopLines sum={answer} /> })}
      </Sum>
      <Sum sum="degree-days" asked={asked['degree-days']}>
        {(answer, texts) => ({ answer: degreeDaysAnswer(answer, texts, speech) })}
      </Sum>
    </Page>
  );
}
