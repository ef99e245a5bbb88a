import type { SampleAdvice } from '../../contract.gen';
import { Answer, Details, NumberField } from '../../parts';
import { format, words } from '../../words';
import { Marked } from '../shared/marked';
import { reasonText } from '../shared/reason';
import type { Asked } from './draft';

interface Props {
  of: SampleAdvice;
  asked: Asked;
  change: (asked: Asked) => void;
}

/** How many plants to look at and why, before anything is counted; the level asked for can be changed. */
export function Sample({ of: advice, asked, change }: Props) {
  const said = words.value.dock.inspection.sample;
  const f = format.value;
  const set = (part: Partial<Asked>, low: number, high: number) => {
    const value = Object.values(part)[0];
    if (value !== undefined && value > low && value <= high) change({ ...asked, ...part });
  };
  return (
    <div class="dock-sample">
      {advice.reasons.map((reason) => (
        <Answer key={reason.code}>
          <Marked text={reasonText(reason, '')} />
        </Answer>
      ))}
      {typeof advice.plants === 'number' && <p class="lead">{said.why(advice.infested_units, f.percent(advice.detection_percent), advice.lot_size)}</p>}
      <Details summary={said.change}>
        <div class="form-row">
          <NumberField
            label={said.detection}
            unit={said.percent}
            decimals={2}
            value={asked.detection}
            onValue={(detection) => detection !== null && set({ detection }, 0, 100)}
          />
          <NumberField
            label={said.confidence}
            unit={said.percent}
            decimals={2}
            value={asked.confidence}
            onValue={(confidence) => confidence !== null && set({ confidence }, 0, 99.9999)}
          />
          <NumberField
            label={said.sensitivity}
            hint={said.sensitivityHint}
            unit={said.percent}
            decimals={1}
            value={asked.sensitivity}
            onValue={(sensitivity) => sensitivity !== null && set({ sensitivity }, 0, 100)}
          />
        </div>
        <p class="quiet">{said.source(advice.method, advice.source)}</p>
      </Details>
    </div>
  );
}
