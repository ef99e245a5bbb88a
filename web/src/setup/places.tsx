import { fetchAll } from '../api';
import type { Account, Block, House, Section as SectionOf, Site } from '../contract.gen';
import { ButtonLink, Details, Empty, Loaded, Section, useLoad } from '../parts';
import { withQuery } from '../router';
import { chooseSite, isOwner, reloadSites, selectedSite, sites } from '../session';
import { format, words } from '../words';
import { holds, ownsAll } from './access';
import { block } from './kinds/block';
import { house } from './kinds/house';
import { section } from './kinds/section';
import { site, zoneHere } from './kinds/site';
import { ManyBlocks } from './many-blocks';
import { ReadOnly } from './read-only';
import { Records } from './record/records';

interface Found {
  houses: House[];
  sections: SectionOf[];
  blocks: Block[];
  people: Account[];
}

function byName(a: { name: string }, b: { name: string }): number {
  return a.name.localeCompare(b.name, undefined, { numeric: true });
}

async function fetchPlaces(siteId: string, signal: AbortSignal): Promise<Found> {
  const at = { site_id: siteId };
  const [houses, sections, blocks, people] = await Promise.all([
    fetchAll('houses', at, signal),
    fetchAll('sections', at, signal),
    fetchAll('blocks', at, signal),
    holds('owner') ? fetchAll('accounts', {}, signal) : Promise.resolve([]),
  ]);
  return {
    houses: houses.toSorted(byName),
    sections: sections.toSorted(byName),
    blocks: blocks.toSorted((a, b) => a.position - b.position || byName(a, b)),
    people,
  };
}

function Blocks({ of, found, mayWrite, reload }: { of: House; found: Found; mayWrite: boolean; reload: () => void }) {
  const { setup, common } = words.value;
  const rows = found.blocks.filter((one) => one.house_id === of.id);
  const next = Math.max(0, ...rows.map((one) => one.position)) + 1;
  return (
    <Details summary={rows.length === 0 ? setup.noBlocks : common.blocks(rows.length)}>
      <Records
        kind={block(found.houses, found.sections, found.blocks)}
        rows={rows}
        name={(one) => one.name}
        note={(one) =>
          [
            setup.positionIs(one.position),
            found.sections.find(({ id }) => id === one.section_id)?.name,
            one.quarantine && setup.quarantine,
            one.water && setup.waterIs(one.water),
            one.tools && setup.toolsAre(one.tools),
          ]
            .filter(Boolean)
            .join(' · ')
        }
        mayWrite={mayWrite}
        addLabel={setup.add.block}
        start={() => ({ house_id: of.id, position: next })}
        onChange={reload}
        empty={<p class="quiet">{setup.empty.block}</p>}
      />
      {rows.length > 0 && (
        <div>
          <ButtonLink to={withQuery('/labels', { house: of.id })}>{setup.labelsOfHouse(of.name)}</ButtonLink>
        </div>
      )}
      {mayWrite && <ManyBlocks house={of} sections={found.sections} blocks={found.blocks} firstPosition={next} onSaved={reload} />}
    </Details>
  );
}

function AtSite({ at }: { at: Site }) {
  const { setup } = words.value;
  const load = useLoad((signal) => fetchPlaces(at.id, signal), [at.id]);
  const mayWrite = isOwner(at.id);
  return (
    <Loaded of={load}>
      {(found) => (
        <>
          <Section
            title={setup.housesAt(at.name)}
            lead={setup.housesLead}
            actions={found.blocks.length > 0 && <ButtonLink to={withQuery('/labels', { site: at.id, of: 'blocks' })}>{setup.labelsOfSite(at.name)}</ButtonLink>}
          >
            <Records
              kind={house}
              rows={found.houses}
              name={(one) => one.name}
              note={(one) => (typeof one.area_m2 === 'number' ? `${format.value.number(one.area_m2)} m²` : null)}
              inside={(one) => <Blocks of={one} found={found} mayWrite={mayWrite} reload={load.reload} />}
              mayWrite={mayWrite}
              addLabel={setup.add.house}
              start={() => ({ site_id: at.id })}
              onChange={load.reload}
              empty={
                <Empty title={setup.empty.houseTitle}>
                  <p>{setup.empty.house}</p>
                </Empty>
              }
            />
          </Section>
          <Section title={setup.sectionsAt(at.name)} lead={setup.sectionsLead}>
            <Records
              kind={section(found.people)}
              rows={found.sections}
              name={(one) => one.name}
              note={(one) => {
                const person = found.people.find(({ id }) => id === one.grower_id);
                return person ? setup.lookedAfterBy(person.name) : null;
              }}
              mayWrite={mayWrite}
              addLabel={setup.add.section}
              start={() => ({ site_id: at.id })}
              onChange={load.reload}
              empty={<p class="quiet">{setup.empty.section}</p>}
            />
          </Section>
        </>
      )}
    </Loaded>
  );
}

/** Sites; and the houses, blocks and sections of the chosen one. */
export default function Places() {
  const { setup } = words.value;
  const at = selectedSite.value;
  return (
    <>
      <ReadOnly unless={holds('owner')}>{setup.readOnly.places}</ReadOnly>
      <Section title={setup.sites}>
        <Records
          kind={site}
          rows={sites.value}
          name={(one) => one.name}
          note={(one) => [one.time_zone, one.country].filter(Boolean).join(' · ')}
          mayWrite={ownsAll()}
          mayCorrect={(one) => isOwner(one.id)}
          addLabel={setup.add.site}
          start={() => ({ time_zone: zoneHere() })}
          onChange={(stored) => {
            void reloadSites().then(() => {
              if (stored?.version === 1) chooseSite(stored.id);
            });
          }}
          empty={
            <Empty title={setup.empty.siteTitle}>
              <p>{setup.empty.site}</p>
            </Empty>
          }
        />
        {sites.value.length > 1 && <p class="quiet">{setup.otherSites}</p>}
      </Section>
      {at && <AtSite key={at.id} at={at} />}
    </>
  );
}
