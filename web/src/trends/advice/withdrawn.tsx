import { fetchAll } from '../../api';
import type { Advice, AdviceList } from '../../contract.gen';
import { Loaded, useLoad } from '../../parts';
import { words } from '../../words';
import { Decision } from './decision';

/** What was decided here and taken back, with the reasons. */
export function WithdrawnDecisions({ advice, list }: { advice: Advice; list: AdviceList }) {
  const { advice: say } = words.value;
  const { cultivar_id, house_id } = advice;
  const load = useLoad(
    (signal) => fetchAll('decisions', { cultivar_id, house_id, ...(list.season_id !== null && { season_id: list.season_id }) }, signal),
    [cultivar_id, house_id, list],
  );
  return (
    <Loaded of={load}>
      {(all) => {
        const withdrawn = all.filter((decision) => decision.withdrawn_because && decision.organism_id === list.organism_id);
        if (withdrawn.length === 0) return <p class="quiet">{say.noneWithdrawn}</p>;
        return withdrawn.map((decision) => <Decision key={decision.id} decision={decision} mayWrite={false} onChange={load.reload} />);
      }}
    </Loaded>
  );
}
