import type { Site } from '../contract.gen';
import { Button } from '../parts';
import { go, Link } from '../router';
import { chooseSite, sites } from '../session';
import { words } from '../words';
import type { Outcome, Place } from './find';

const nameOf = ({ name, within }: Place): string => [name, within].filter(Boolean).join(', ');

const siteName = (id: string): string => sites.value.find((site) => site.id === id)?.name ?? words.value.scan.otherSite;

/** What came of a scan, in a sentence. */
function sentence(outcome: Outcome, site: Site): string {
  const { scan } = words.value;
  switch (outcome.kind) {
    case 'found':
      return scan.found(nameOf(outcome.place));
    case 'choose':
      return scan.choose[outcome.among];
    case 'nowhere':
      return scan.standsNowhere(outcome.place.name);
    case 'elsewhere':
      return scan.elsewhere(outcome.place.name, siteName(outcome.siteId));
    case 'unknown':
      if (outcome.meaning.kind === 'item') return scan.notHeld.item(outcome.meaning.code, site.name);
      return outcome.checked ? scan.nowhere[outcome.meaning.kind] : scan.notHeld[outcome.meaning.kind](site.name);
    case 'misread':
      return scan.misread;
    case 'foreign':
      return scan.foreign(outcome.text);
    case 'no_such_name':
      return scan.noSuchName(outcome.text, site.name);
  }
}

interface ResultProps {
  outcome: Outcome | 'pending' | null;
  /** The camera looks for codes now. */
  looking: boolean;
  site: Site;
  onAgain: () => void;
}

/** Says what came of a scan, read aloud as well, with the ways on. */
export function Result({ outcome, looking, site, onAgain }: ResultProps) {
  const { scan } = words.value;
  const text = outcome === null ? (looking ? scan.looking : '') : outcome === 'pending' ? scan.lookingUp : sentence(outcome, site);
  const target = outcome !== null && outcome !== 'pending' && outcome.kind === 'found';
  return (
    <div class="scan-result">
      <p role="status" class={['scan-said', outcome !== null && 'scan-outcome', target && 'scan-found'].filter(Boolean).join(' ')}>
        {text}
      </p>
      {outcome !== null && outcome !== 'pending' && <WaysOn outcome={outcome} onAgain={onAgain} />}
    </div>
  );
}

function WaysOn({ outcome, onAgain }: { outcome: Outcome; onAgain: () => void }) {
  const { scan } = words.value;
  switch (outcome.kind) {
    case 'choose':
      return (
        <>
          <ul class="scan-places">
            {outcome.places.map((place) => (
              <li key={place.address}>
                <Link to={place.address}>
                  <b>{place.name}</b> {place.within}
                </Link>
              </li>
            ))}
          </ul>
          <Button onClick={onAgain}>{scan.again}</Button>
        </>
      );
    case 'nowhere':
      return <Button onClick={() => go(outcome.place.address)}>{scan.openLot}</Button>;
    case 'elsewhere':
      return (
        <Button
          onClick={() => {
            chooseSite(outcome.siteId);
            go(outcome.place.address);
          }}
        >
          {scan.toSite(siteName(outcome.siteId))}
        </Button>
      );
    case 'unknown': {
      const { meaning } = outcome;
      if (meaning.kind !== 'item') return null;
      return <Button onClick={() => go(`/01/${meaning.gtin}/10/${encodeURIComponent(meaning.code)}`)}>{scan.allSeasons}</Button>;
    }
    default:
      return null;
  }
}
