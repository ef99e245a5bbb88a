import type { ComponentChildren } from 'preact';

import type { Trends } from '../contract.gen';
import { commonName } from '../organism';
import { SelectField, type Option } from '../parts';
import { sites } from '../session';
import { words } from '../words';
import { atStart } from './answers';
import type { Names } from './names';
import { allSites, foliages, type Narrowing } from './state';

interface NarrowProps {
  state: Narrowing;
  /** The site in force, or `allSites`. */
  site: string;
  names: Names;
  /** What the reading that is shown is of. */
  found: Pick<Trends, 'organism_id' | 'season_id'> | undefined;
  onChange: (change: Partial<Narrowing>) => void;
  /** The choices there are; all of them when left out. */
  only?: readonly (keyof Narrowing)[];
  /** Choices of the page's own. */
  children?: ComponentChildren;
}

/** The choice not to narrow. */
export const all = 'all';

const byName = (a: Option, b: Option): number => a.label.localeCompare(b.label, undefined, { numeric: true });

/** What a reading is narrowed to: place, plants, pest and season. */
export function Narrow({ state, site, names, found, onChange, only, children }: NarrowProps) {
  const { trends, common } = words.value;
  const houses = names.houses.filter((house) => site === allSites || house.site_id === site);
  const siteName = (id: string): string => sites.value.find((one) => one.id === id)?.name ?? '';
  const crop = (id: string): string => names.crops.find((one) => one.id === id)?.name ?? '';
  const organism = names.organisms.find((one) => one.id === (found?.organism_id ?? state.organism))?.id ?? null;
  const season = found?.season_id ?? state.season;
  const has = (choice: keyof Narrowing): boolean => only?.includes(choice) ?? true;
  return (
    <div class="form-row" role="group" aria-label={trends.filters}>
      {sites.value.length > 1 && (
        <SelectField
          label={trends.site}
          value={site}
          onValue={(value) => onChange({ site: value })}
          options={[{ value: allSites, label: trends.allSites }, ...sites.value.map(({ id, name }) => ({ value: id, label: name }))]}
        />
      )}
      {has('house') && (
        <SelectField
          label={trends.house}
          value={state.house ?? all}
          onValue={(value) => onChange({ house: value === all ? null : value })}
          options={[
            { value: all, label: trends.allHouses },
            ...houses.map(({ id, name, site_id }) => ({ value: id, label: site === allSites ? `${siteName(site_id)} · ${name}` : name })).toSorted(byName),
          ]}
        />
      )}
      {has('cultivar') && (
        <SelectField
          label={trends.cultivar}
          value={state.cultivar ?? all}
          onValue={(value) => onChange({ cultivar: value === all ? null : value })}
          options={[{ value: all, label: trends.allCultivars }, ...names.cultivars.map(({ id, name }) => ({ value: id, label: name })).toSorted(byName)]}
        />
      )}
      {has('foliage') && (
        <SelectField
          label={trends.by.foliage}
          value={state.foliage ?? all}
          onValue={(value) => onChange({ foliage: foliages.find((tone) => tone === value) ?? null })}
          options={[{ value: all, label: trends.allTones }, ...foliages.map((tone) => ({ value: tone, label: atStart(common.foliage[tone]) }))]}
        />
      )}
      <SelectField
        label={trends.organism}
        value={organism}
        onValue={(value) => onChange({ organism: value })}
        options={names.organisms.map((one) => ({ value: one.id, label: commonName(one) })).toSorted(byName)}
      />
      {children}
      {names.seasons.length > 1 && (
        <SelectField
          label={trends.season}
          value={season ?? null}
          onValue={(value) => onChange({ season: value })}
          options={names.seasons
            .toSorted((a, b) => b.year - a.year)
            .map(({ id, year, crop_id }) => ({ value: id, label: trends.seasonYear(year, crop(crop_id)) }))}
        />
      )}
    </div>
  );
}
