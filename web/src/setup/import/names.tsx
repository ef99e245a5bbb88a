import { fetchAll } from '../../api';
import type { ImportKind, ImportName, ImportReading } from '../../contract.gen';
import { CheckField, Loaded, Section, SelectField, useLoad } from '../../parts';
import { isOwner } from '../../session';
import { words } from '../../words';
import { organismLabel } from '../organisms';
import { makeable, type Choices } from './choices';

interface Props {
  site: string;
  reading: ImportReading;
  choices: Choices;
  change: (part: Partial<Choices>) => void;
}

/** More names than this are not asked about one by one. */
const mostNames = 60;

type Ours = Partial<Record<ImportKind, { id: string; label: string }[]>>;

async function fetchOurs(site: string, signal: AbortSignal): Promise<{ ours: Ours; crops: { value: string; label: string }[] }> {
  const [houses, blocks, cultivars, suppliers, organisms, lots, crops] = await Promise.all([
    fetchAll('houses', { site_id: site }, signal),
    fetchAll('blocks', { site_id: site }, signal),
    fetchAll('cultivars', {}, signal),
    fetchAll('suppliers', {}, signal),
    fetchAll('organisms', {}, signal),
    fetchAll('lots', { site_id: site }, signal),
    fetchAll('crops', {}, signal),
  ]);
  const named = (list: readonly { id: string; name: string }[]) => list.map(({ id, name }) => ({ id, label: name }));
  const houseOf = new Map(houses.map(({ id, name }) => [id, name]));
  const cultivarOf = new Map(cultivars.map(({ id, name }) => [id, name]));
  return {
    ours: {
      house: named(houses),
      block: blocks.map(({ id, house_id, name }) => ({ id, label: `${houseOf.get(house_id) ?? ''} · ${name}` })),
      cultivar: named(cultivars),
      supplier: named(suppliers),
      organism: organisms.map((one) => ({ id: one.id, label: organismLabel(one) })),
      lot_code: lots.map((lot) => ({ id: lot.id, label: `${lot.code ?? ''} ${cultivarOf.get(lot.cultivar_id) ?? ''}` })),
    },
    crops: crops.map(({ id, name }) => ({ value: id, label: name })),
  };
}

const keyOf = ({ kind, text }: { kind: string; text: string }): string => `${kind} ${text}`;

/** What is said of the names, with one said anew or, with no id, no more. */
function saidOf(sameAs: Choices['sameAs'], name: { kind: ImportKind; text: string }, id: string | null): Choices['sameAs'] {
  const others = Object.fromEntries(Object.entries(sameAs).filter(([key]) => key !== keyOf(name)));
  return id === null ? others : { ...others, [keyOf(name)]: { ...name, id } };
}

function unknown(reading: ImportReading): ImportName[] {
  return reading.names.filter(({ fault }) => fault !== undefined);
}

/** Which of ours each unknown name is, or that it is to be made. */
export function Names({ site, reading, choices, change }: Props) {
  const { imports } = words.value;
  const open = unknown(reading);
  const said = Object.values(choices.sameAs);
  const load = useLoad((signal) => fetchOurs(site, signal), [site]);
  const made = makeable.filter((kind) => choices.make.includes(kind) || open.some((name) => name.kind === kind));
  const lotsLack = reading.faults.some(({ code }) => code.startsWith('lot_needs'));
  if (open.length === 0 && said.length === 0 && made.length === 0 && !lotsLack) return null;
  return (
    <Section title={imports.names} lead={imports.namesLead}>
      <Loaded of={load}>
        {({ ours, crops }) => (
          <>
            <Makes site={site} made={made} crops={crops} choices={choices} change={change} />
            <ul class="import-names">
              {[...said.map(({ kind, text }) => ({ kind, text, name: undefined })), ...open.slice(0, mostNames).map((name) => ({ kind: name.kind, text: name.text, name }))].map(
                ({ kind, text, name }) => (
                  <li key={keyOf({ kind, text })}>
                    <SelectField
                      label={`${imports.kind[kind]}: ${text}`}
                      hint={name && `${imports.onLinesFrom(name.lines, name.line)}${name.fault === 'several_fit' ? ` · ${imports.several}` : ''}`}
                      optional
                      empty={imports.leave}
                      value={choices.sameAs[keyOf({ kind, text })]?.id ?? null}
                      onValue={(id) => change({ sameAs: saidOf(choices.sameAs, { kind, text }, id) })}
                      options={(ours[kind] ?? []).map(({ id, label }) => ({ value: id, label })).toSorted((a, b) => a.label.localeCompare(b.label))}
                    />
                  </li>
                ),
              )}
            </ul>
            {open.length > mostNames && <p class="quiet">{imports.moreNames(open.length - mostNames)}</p>}
          </>
        )}
      </Loaded>
    </Section>
  );
}

type MakesProps = Pick<Props, 'site' | 'choices' | 'change'> & { made: readonly (typeof makeable)[number][]; crops: { value: string; label: string }[] };

function Makes({ site, made, crops, choices, change }: MakesProps) {
  const { imports } = words.value;
  const owner = isOwner(site);
  return (
    <>
      {made.map((kind) => {
        const forOwner = (kind === 'house' || kind === 'block') && !owner;
        return (
          <CheckField
            key={kind}
            label={imports.make[kind]}
            hint={forOwner ? imports.makeOwner : undefined}
            disabled={forOwner}
            checked={choices.make.includes(kind)}
            onChecked={(on) => change({ make: on ? [...choices.make, kind] : choices.make.filter((one) => one !== kind) })}
          />
        );
      })}
      {choices.make.includes('cultivar') && crops.length > 1 && (
        <SelectField
          label={imports.crop}
          value={choices.crop_id ?? crops[0]?.value ?? null}
          onValue={(crop_id) => change({ crop_id })}
          options={crops}
        />
      )}
    </>
  );
}
