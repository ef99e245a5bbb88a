-- +goose Up
-- Looks at plants, and the tallies that trends are read from.

create table look (
  organisation_id uuid not null, id uuid not null,
  site_id     uuid not null,
  block_id    uuid not null,
  lot_id      uuid,                          -- null: not known yet
  looked_at   timestamptz not null,
  looked_on   date not null,                 -- at the site
  week_start  date not null,                 -- Monday of the ISO week of looked_on
  observer_id uuid not null,
  purpose     text not null check (purpose in ('planned', 'on_purpose')),
  note        text not null default '',
  doubts      text[] not null default '{}',
  settled_because   text not null default '',
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint look_block_fkey foreign key (organisation_id, block_id) references block (organisation_id, id),
  constraint look_lot_fkey foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  constraint look_observer_fkey foreign key (organisation_id, observer_id) references membership (organisation_id, person_id),
  check (extract(isodow from week_start) = 1 and looked_on - week_start between 0 and 6)
);
create index look_block on look (organisation_id, block_id, week_start);
create index look_lot on look (organisation_id, lot_id, week_start);
create index look_site on look (organisation_id, site_id, week_start);
create index look_in_doubt on look (organisation_id, site_id) where doubts <> '{}' and settled_because = '' and withdrawn_because = '';

create table look_finding (
  organisation_id uuid not null, look_id uuid not null, organism_id uuid not null, site_id uuid not null,
  ordinal          smallint not null,
  plants_looked_at int not null check (plants_looked_at >= 1),
  infested_plants  int not null,
  signs_looked_for boolean not null,
  marks            smallint[],               -- one for each plant: 1 seen, 2 dense leaf, 4 infested by the rule
  severity         int[],                    -- plants in classes 0 to 4
  primary key (organisation_id, look_id, organism_id),
  foreign key (organisation_id, look_id) references look (organisation_id, id),
  constraint look_finding_organism_fkey foreign key (organisation_id, organism_id) references organism (organisation_id, id),
  check (infested_plants between 0 and plants_looked_at),
  check (marks is null or cardinality(marks) = plants_looked_at)
);

create table look_sign (
  organisation_id uuid not null, look_id uuid not null, organism_id uuid not null, ordinal smallint not null, site_id uuid not null,
  plant  smallint,                           -- which mark it belongs to, from 0; null for the block
  stage  text not null,
  place  text not null,
  state  text not null default '',
  colour text not null default '',
  amount text not null default '',
  primary key (organisation_id, look_id, organism_id, ordinal),
  foreign key (organisation_id, look_id, organism_id) references look_finding
);

-- Planned looks that stand, summed per organism, week, block and lot. Kept in
-- the transaction of the look; larger groups are summed from here.
create table tally (
  organisation_id uuid not null,
  organism_id uuid not null,
  week_start  date not null,
  block_id    uuid not null,
  lot_id      uuid,
  site_id     uuid not null,
  looks       int not null,
  plants      int not null,
  infested    int not null,
  constraint tally_key unique nulls not distinct (organisation_id, organism_id, week_start, block_id, lot_id),
  check (looks >= 0 and infested between 0 and plants)
);

call bt_protect('look', true);
call bt_protect('look_finding', true);
call bt_protect('look_sign', true);
call bt_protect('tally', true);

-- +goose Down
drop table tally, look_sign, look_finding, look;
