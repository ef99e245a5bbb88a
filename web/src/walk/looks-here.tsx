import type { Look } from '../contract.gen';
import { Link } from '../router';
import { Pause, Tag } from '../parts';
import { format, words } from '../words';
import { commonName } from '../organism';
import { placeText } from './about-block';
import type { Names } from './round';
import { lotName, momentText } from './said';

/** This week's looks at a block, each open to its plants. */
export function LooksHere({ looks, names, zone }: { looks: readonly Look[]; names: Names; zone: string }) {
  const { walk } = words.value;
  if (looks.length === 0) return null;
  const f = format.value;
  return (
    <section class="section">
      <header class="section-head">
        <h2>{walk.mark.thisWeek}</h2>
      </header>
      <ul class="walk-looks">
        {looks
          .toSorted((a, b) => b.looked_at.localeCompare(a.looked_at))
          .map((look) => (
            <li key={look.id}>
              <Link to={`/walk/looks/${look.id}`}>
                <b>{look.lot_id ? lotName(names.lot(look.lot_id), names) : walk.lot.notKnown}</b>
                <Pause />{' '}
                {look.purpose === 'on_purpose' && <Tag>{walk.settings.onPurpose}</Tag>}
                {look.hot_spot && <Tag>{walk.about.hotSpotAt(placeText(look.hot_spot))}</Tag>}
                <span>
                  {look.results.map((result) => `${f.share(result)} ${commonName(names.organism(result.organism_id))}`).join('; ')}
                </span>
                <Pause />
                <span class="quiet">{walk.doubt.by(look.observer?.name ?? look.recorded_by.name, momentText(look.looked_at, look.looked_on, zone))}</span>
              </Link>
            </li>
          ))}
      </ul>
    </section>
  );
}
