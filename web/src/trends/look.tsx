import { fetchOne } from '../api';
import type { Look } from '../contract.gen';
import { Button, Facts, Loaded, useLoad } from '../parts';
import { Photos } from '../photos';
import { go } from '../router';
import { format, words } from '../words';
import { commonName } from '../organism';
import { openDoubts } from './counts';
import { blockName, lotName, Remarks } from './looks';
import { zoneOf, type Names, type Places } from './names';
import { Reveal } from './reveal';
import { Revisions } from './revisions';
import { Plants } from './signs';

interface LookProps {
  look: Look;
  names: Names;
  places: Places;
  /** The address without the look. */
  closed: string;
}

function LookFacts({ look, names, places }: Omit<LookProps, 'closed'>) {
  const { trends: say, common } = words.value;
  const zone = zoneOf(look.site_id);
  return (
    <Facts
      items={[
        { term: say.block, value: blockName(look, names, places) },
        { term: say.lot, value: lotName(look, names, places) },
        { term: say.moment, value: `${format.value.moment(look.looked_at, zone)} (${zone})` },
        { term: say.observer, value: look.observer?.name ?? common.unknown },
        { term: say.purpose, value: say.purposes[look.purpose ?? 'planned'] },
        { term: say.recorded, value: say.recordedBy(look.recorded_by.name, format.value.moment(look.recorded_at, zone)) },
        { term: say.importedFrom, value: look.import_id ? <Brought look={look} /> : null },
        { term: say.remarks, value: look.doubts.length > 0 || look.withdrawn_because ? <Remarks look={look} /> : null },
        { term: say.settledBecause, value: openDoubts(look).length === 0 ? look.settled_because : null },
        { term: say.withdrawnBecause, value: look.withdrawn_because },
        { term: say.note, value: look.note },
      ]}
    />
  );
}

/** Which file the look was brought in from, by whom and when. */
function Brought({ look }: { look: Look }) {
  const { trends: say } = words.value;
  const load = useLoad((signal) => fetchOne('imports', look.import_id ?? '', signal), [look.import_id]);
  return (
    <Loaded of={load}>
      {(from) => <>{say.importedBy(from.file_name, look.import_line ?? 0, from.recorded_by.name, format.value.moment(from.recorded_at, zoneOf(look.site_id)))}</>}
    </Loaded>
  );
}

/** One look down to its plants and signs, who recorded it and who changed it since. */
export function LookDetail({ look: listed, names, places, closed }: LookProps) {
  const { trends: say } = words.value;
  const load = useLoad((signal) => fetchOne('looks', listed.id, signal), [listed.id]);
  const title = say.lookTitle(blockName(listed, names, places), format.value.moment(listed.looked_at, zoneOf(listed.site_id)));
  return (
    <Reveal when={listed.id}>
      <section class="look-detail">
        <header class="section-head">
          <h3>{title}</h3>
          <Button kind="quiet" onClick={() => go(closed, { keepScroll: true })}>
            {say.closeLook}
          </Button>
        </header>
        <Loaded of={load}>
          {(look) => (
            <>
              <LookFacts look={look} names={names} places={places} />
              {look.targets.map((target) => {
                const organism = names.organisms.find(({ id }) => id === target.organism_id);
                return (
                  <Plants
                    key={target.organism_id}
                    target={target}
                    result={look.results.find((result) => result.organism_id === target.organism_id)}
                    organism={organism ? commonName(organism) : words.value.common.unknown}
                  />
                );
              })}
              <Photos of={{ subject_noun: 'looks', subject_id: look.id }} title={title} may={false} />
              <Revisions look={look} />
            </>
          )}
        </Loaded>
      </section>
    </Reveal>
  );
}
