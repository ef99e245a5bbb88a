import type { LookResult } from '../contract.gen';
import { Answer } from '../parts';
import { format, words } from '../words';
import { commonName } from '../organism';
import { atMost } from './at-most';
import type { Names } from './round';

/** What a look found of one organism, in a sentence, as the server reckoned it. */
export function LookAnswer({ result, names, small = false }: { result: LookResult; names: Names; small?: boolean }) {
  const { look } = words.value.walk;
  const { common } = words.value;
  const f = format.value;
  const name = commonName(names.organism(result.organism_id));
  if (result.infested_plants === 0) {
    return (
      <Answer small={small}>
        {look.zero(name, common.plants(result.plants_looked_at))} {look.zeroBefore(f.percent(result.confidence_percent))}{' '}
        <b>{f.percent(atMost(result.upper_percent))}</b>
        {look.zeroAfter}
      </Answer>
    );
  }
  return (
    <Answer small={small}>
      <b>{look.of(f.of(result.infested_plants, result.plants_looked_at))}</b> {look.with(name)},{' '}
      <b>{f.interval(result.infested_percent, result.lower_percent, result.upper_percent)}</b>.
    </Answer>
  );
}
