import type { Contact, Rate } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { commonName } from '../../organism';
import { Section, Table, type Column } from '../../parts';
import type { Speech } from '../../trends/answers';
import { More } from '../../trends/more';
import { format, words } from '../../words';
import { blockName, houseName, nameIn, zoneOf, type Names } from '../names';
import { counted } from '../strikes/order';
import { byLevel, type Reach } from './read';

/** What was found of those looked at, with its interval; none found says how many there may be all the same. */
export function foundText(rate: Rate, { words: { trail }, format: f }: Speech): string {
  const say = trail.reach;
  const known = counted(rate);
  if (!known) return say.notLooked;
  const of = f.of(known.count, known.of);
  return known.count === 0 ? say.noneFound(of, f.percent(known.upper_percent)) : say.found(of, f.interval(known.percent, known.lower_percent, known.upper_percent));
}

function placeText({ level, place_id: id }: Contact, names: Names): string {
  if (level === 'house') return houseName(names, id);
  if (level !== 'section') return blockName(names, id);
  const inside = [...names.blocks.values()].find((block) => block.section_id === id);
  return words.value.trail.reach.section(houseName(names, inside?.house_id), nameIn(names.sections, id));
}

/** Of what only shared the section or the house, the codes are enough for a first answer. */
const far: ReadonlySet<Contact['level']> = new Set(['section', 'house']);

/** The codes of the contacts by place, places and codes in order. */
export function byPlace(contacts: readonly Contact[], placeOf: (contact: Contact) => string): [place: string, codes: string[]][] {
  const order = new Intl.Collator(undefined, { numeric: true }).compare;
  const places = new Map<string, string[]>();
  for (const contact of contacts) places.set(placeOf(contact), [...(places.get(placeOf(contact)) ?? []), contact.code]);
  return [...places].map(([place, codes]): [string, string[]] => [place, codes.toSorted(order)]).toSorted(([a], [b]) => order(a, b));
}

/** What stood near the plants, level by level. */
export function Contacts({ reach: { contacts, names, trail } }: { reach: Reach }) {
  const { reach: say } = words.value.trail;
  const speech = { words: words.value, format: format.value };
  const zone = zoneOf(trail.lots[0]?.site_id);
  const day = (moment: string): string => format.value.date(dateAt(moment, zone));
  const together = ({ days, from, to, still }: Contact): string =>
    still || !to ? say.daysStill(say.day(days), day(from)) : say.days(say.day(days), day(from), day(to));
  const columns: Column<Contact>[] = [
    { key: 'lot', head: say.lot, cell: ({ code }) => code },
    { key: 'cultivar', head: words.value.trail.table.cultivar, cell: (contact) => nameIn(names.cultivars, contact.cultivar_id) },
    { key: 'where', head: say.where, cell: (contact) => placeText(contact, names) },
    { key: 'together', head: say.together, cell: together },
    { key: 'onIt', head: say.onIt, cell: (contact) => foundText(contact.found_on_it, speech) },
    { key: 'onThese', head: say.onThese, cell: (contact) => foundText(contact.found_on_these, speech) },
  ];
  const levels = byLevel(contacts.items);
  return (
    <Section title={say.contacts}>
      {levels.length === 0 ? <p>{say.noContacts}</p> : <p class="lead">{say.contactsLead(commonName(names.organisms.get(contacts.organism_id ?? '')))}</p>}
      {levels.map(({ level, contacts: near }) => (
        <div key={level} class="reach-level">
          <h3>{say.level[level](near.length)}</h3>
          {far.has(level) ? (
            <>
              <ul class="reach-places">
                {byPlace(near, (contact) => placeText(contact, names)).map(([place, codes]) => (
                  <li key={place}>
                    <strong>{place}</strong>: {codes.join(', ')}
                  </li>
                ))}
              </ul>
              <More summary={say.oneByOne}>{() => <Table caption={say.level[level](near.length)} stack columns={columns} rows={near} rowKey={({ lot_id: id }) => id} />}</More>
            </>
          ) : (
            <Table caption={say.level[level](near.length)} stack columns={columns} rows={near} rowKey={({ lot_id: id }) => id} />
          )}
        </div>
      ))}
    </Section>
  );
}
