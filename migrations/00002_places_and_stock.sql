-- +goose Up
-- Where plants stand, what they are, who sent them.
-- Text that is not known is '', so that only references and moments can be null.

create table house (
  organisation_id uuid not null, id uuid not null,
  site_id  uuid not null,
  name     text not null,
  area_m2  double precision check (area_m2 >= 0),
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint house_site_fkey foreign key (organisation_id, site_id) references site (organisation_id, id),
  constraint house_name_key unique (organisation_id, site_id, name)
);

create table section (
  organisation_id uuid not null, id uuid not null,
  site_id   uuid not null,
  name      text not null,
  grower_id uuid,
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint section_site_fkey foreign key (organisation_id, site_id) references site (organisation_id, id),
  constraint section_grower_fkey foreign key (organisation_id, grower_id) references membership (organisation_id, person_id),
  constraint section_name_key unique (organisation_id, site_id, name)
);

create table block (
  organisation_id uuid not null, id uuid not null,
  site_id    uuid not null,
  house_id   uuid not null,
  section_id uuid,
  name       text not null,
  position   int  not null,
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint block_house_fkey foreign key (organisation_id, house_id) references house (organisation_id, id),
  constraint block_section_fkey foreign key (organisation_id, section_id) references section (organisation_id, id),
  constraint block_name_key unique (organisation_id, house_id, name)
);
create index block_site on block (organisation_id, site_id, house_id, position);

create table supplier (
  organisation_id uuid not null, id uuid not null,
  name        text not null,
  country     text not null default '',
  claim_hours int  not null check (claim_hours between 1 and 720),
  note        text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint supplier_name_key unique (organisation_id, name)
);

create table farm (
  organisation_id uuid not null, id uuid not null,
  supplier_id uuid not null,
  name        text not null,
  country     text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint farm_supplier_fkey foreign key (organisation_id, supplier_id) references supplier (organisation_id, id),
  constraint farm_name_key unique (organisation_id, supplier_id, name)
);

create table organism (
  organisation_id uuid not null, id uuid not null,
  scientific_name   text not null,
  common_name       text not null,
  common_name_es    text not null,
  eppo_code         text not null default '',
  kind              text not null,
  where_to_look     text not null default '',
  where_to_look_es  text not null default '',
  regulated_note    text not null default '',
  regulated_note_es text not null default '',
  infested_stages   text[] not null,
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint organism_name_key unique (organisation_id, scientific_name)
);

create table crop (
  organisation_id uuid not null, id uuid not null,
  name                  text not null,
  eppo_code             text not null default '',
  main_organism_id      uuid not null,
  second_look_from_days int  not null,
  second_look_to_days   int  not null,
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint crop_organism_fkey foreign key (organisation_id, main_organism_id) references organism (organisation_id, id),
  constraint crop_name_key unique (organisation_id, name),
  check (second_look_from_days between 1 and second_look_to_days)
);

create table cultivar (
  organisation_id uuid not null, id uuid not null,
  crop_id      uuid not null,
  name         text not null,
  foliage      text not null check (foliage in ('light', 'medium', 'dark')),
  bract_colour text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint cultivar_crop_fkey foreign key (organisation_id, crop_id) references crop (organisation_id, id),
  constraint cultivar_name_key unique (organisation_id, crop_id, name)
);

create table season (
  organisation_id uuid not null, id uuid not null,
  crop_id   uuid not null,
  year      int  not null,
  starts_on date not null,
  ends_on   date not null,
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint season_crop_fkey foreign key (organisation_id, crop_id) references crop (organisation_id, id),
  constraint season_year_key unique (organisation_id, crop_id, year),
  check (starts_on <= ends_on)
);

create table season_milestone (
  organisation_id uuid not null, season_id uuid not null, ordinal smallint not null,
  kind    text not null,
  held_on date not null,
  primary key (organisation_id, season_id, ordinal),
  foreign key (organisation_id, season_id) references season (organisation_id, id)
);

create table threshold (
  organisation_id uuid not null, id uuid not null,
  organism_id uuid not null,
  crop_id     uuid not null,
  cultivar_id uuid,
  site_id     uuid,                          -- of the house, where there is one
  house_id    uuid,
  from_on     date not null,
  to_on       date not null,
  percent     double precision not null check (percent between 0 and 100),
  smallest_plants int not null check (smallest_plants >= 0),
  effect      text not null check (effect in ('act', 'went_well')),
  source      text not null,
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint threshold_organism_fkey foreign key (organisation_id, organism_id) references organism (organisation_id, id),
  constraint threshold_crop_fkey foreign key (organisation_id, crop_id) references crop (organisation_id, id),
  constraint threshold_cultivar_fkey foreign key (organisation_id, cultivar_id) references cultivar (organisation_id, id),
  constraint threshold_house_fkey foreign key (organisation_id, house_id) references house (organisation_id, id),
  check (from_on <= to_on)
);

call bt_protect('house', true);
call bt_protect('section', true);
call bt_protect('block', true);
call bt_protect('supplier', false);
call bt_protect('farm', false);
call bt_protect('organism', false);
call bt_protect('crop', false);
call bt_protect('cultivar', false);
call bt_protect('season', false);
call bt_protect('season_milestone', false);
call bt_protect('threshold', true);

-- +goose Down
drop table threshold, season_milestone, season, cultivar, crop, organism, farm, supplier, block, section, house;
