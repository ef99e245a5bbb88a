import type { Advice, AdviceList } from '../../contract.gen';
import { addDays } from '../../local/zone';
import { Answer } from '../../parts';
import { format, words } from '../../words';
import { Marked } from '../marked';
import { More } from '../more';
import { Decisions } from './decisions';
import { Direction } from './direction';
import { adviceAnswer, evidenceSentence, howFar, isGone, linesInOrder, meaning, why } from './sentences';

interface WorksheetProps {
  advice: Advice;
  list: AdviceList;
  organism: string;
  /** Something was decided: ask again. */
  onChange: () => void;
}

function Suggestion({ advice, asOf }: { advice: Advice; asOf: string }) {
  const { advice: say } = words.value;
  const { code } = advice.suggestion;
  const speech = { words: words.value, format: format.value };
  const reasons = why(advice, speech);
  const far = howFar(advice, speech);
  return (
    <section class="advice-part">
      <h4>
        {say.suggestion}: {say.code[code]}
      </h4>
      {reasons !== '' && <p>{reasons}</p>}
      <p>{code === 'stay_biological' ? say.asks.stay_biological(format.value.date(addDays(asOf, 7))) : say.asks[code]}</p>
      {far !== '' && <p>{far}</p>}
    </section>
  );
}

function EvidenceList({ advice, organism }: { advice: Advice; organism: string }) {
  const { advice: say } = words.value;
  const speech = { words: words.value, format: format.value };
  return (
    <More class="advice-fold advice-part" open={matchMedia('(min-width: 40rem)').matches} summary={<h4>{say.evidence}</h4>}>{() => <div class="advice-part">
      {advice.evidence.length === 0 ? (
        <p class="quiet">{say.noEvidence}</p>
      ) : (
        <>
          <p class="quiet">{say.evidenceLead}</p>
          <ul class="advice-evidence">
            {linesInOrder(advice).map((line) => (
              <li key={line.code}>
                <Direction of={line.direction} />
                <p>
                  <b>
                    {say.topic[line.code]}
                    {(line.code === 'growth' || line.code === 'forecast') && `, ${say.houses.all(advice.cultivar, advice.house)}`}.
                  </b> {evidenceSentence(line, advice, organism, speech)}
                </p>
              </li>
            ))}
          </ul>
        </>
      )}
    </div>}</More>
  );
}

function Cautions({ codes }: { codes: Advice['suggestion']['cautions'] }) {
  const { advice: say } = words.value;
  if (codes.length === 0) return null;
  return (
    <section class="advice-part">
      <h4>{say.cautions}</h4>
      <ul class="advice-cautions">
        {codes.map((code) => (
          <li key={code}>{say.caution[code]}</li>
        ))}
      </ul>
    </section>
  );
}

/** The advice for one cultivar in one house: answer, suggestion, evidence, cautions, and what was decided. */
export function Worksheet({ advice, list, organism, onChange }: WorksheetProps) {
  const speech = { words: words.value, format: format.value };
  const explained = meaning(advice, speech);
  return (
    <div class="advice-sheet">
      <Answer>
        <Marked text={adviceAnswer(advice, list.as_of, organism, speech)} />
      </Answer>
      {explained !== '' && <p class="advice-meaning">{explained}</p>}
      {!isGone(advice) && (
        <>
          <Suggestion advice={advice} asOf={list.as_of} />
          <Cautions codes={advice.suggestion.cautions} />
        </>
      )}
      <Decisions advice={advice} list={list} onChange={onChange} />
      {!isGone(advice) && <EvidenceList advice={advice} organism={organism} />}
    </div>
  );
}
