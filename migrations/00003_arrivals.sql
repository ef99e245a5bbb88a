-- +goose Up
-- What arrived: shipments, their lots, the inspections, and what became of the lots.

create table shipment (
  organisation_id uuid not null, id uuid not null,
  site_id     uuid not null,
  supplier_id uuid not null,
  expected_on date not null,
  left_at     timestamptz,
  landed_at   timestamptz,
  docked_at   timestamptz,
  opened_at   timestamptz,
  arrived_on  date not null,                 -- docked_at at the site, else expected_on
  note        text not null default '',
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint shipment_site_fkey foreign key (organisation_id, site_id) references site (organisation_id, id),
  constraint shipment_supplier_fkey foreign key (organisation_id, supplier_id) references supplier (organisation_id, id)
);
create index shipment_site on shipment (organisation_id, site_id, arrived_on);
create index shipment_supplier on shipment (organisation_id, supplier_id);

create table shipment_paper (
  organisation_id uuid not null, shipment_id uuid not null, ordinal smallint not null, site_id uuid not null,
  kind   text not null,
  number text not null,
  primary key (organisation_id, shipment_id, ordinal),
  foreign key (organisation_id, shipment_id) references shipment (organisation_id, id)
);
create index shipment_paper_number on shipment_paper (organisation_id, number);

create table shipment_order_line (
  organisation_id uuid not null, shipment_id uuid not null, ordinal smallint not null, site_id uuid not null,
  cultivar_id       uuid not null,
  form              text not null default '',
  ordered           int not null check (ordered >= 0),
  invoiced          int check (invoiced >= 0),
  substitute_for_id uuid,
  primary key (organisation_id, shipment_id, ordinal),
  foreign key (organisation_id, shipment_id) references shipment (organisation_id, id),
  constraint shipment_order_line_cultivar_fkey foreign key (organisation_id, cultivar_id) references cultivar (organisation_id, id),
  constraint shipment_order_line_substitute_fkey foreign key (organisation_id, substitute_for_id) references cultivar (organisation_id, id)
);

create table shipment_box (
  organisation_id uuid not null, shipment_id uuid not null, ordinal smallint not null, site_id uuid not null,
  label         text not null,
  temperature_c double precision,
  opened_at     timestamptz,
  cultivar_ids  uuid[] not null default '{}',
  primary key (organisation_id, shipment_id, ordinal),
  foreign key (organisation_id, shipment_id) references shipment (organisation_id, id)
);

create table lot (
  organisation_id uuid not null, id uuid not null,
  site_id           uuid not null,           -- where it arrived
  shipment_id       uuid not null,
  cultivar_id       uuid not null,
  season_id         uuid not null,
  code              text not null,
  code_given        boolean not null,        -- by a person, not made here
  form              text not null default '',
  farm_known_by     text not null default '',
  supplier_lot_code text not null default '',
  rooting_station   text not null default '',
  plants            int  not null check (plants >= 1),
  plants_on_hand    int  not null check (plants_on_hand >= 0),
  note              text not null default '',
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint lot_shipment_fkey foreign key (organisation_id, shipment_id) references shipment (organisation_id, id),
  constraint lot_cultivar_fkey foreign key (organisation_id, cultivar_id) references cultivar (organisation_id, id),
  constraint lot_season_fkey foreign key (organisation_id, season_id) references season (organisation_id, id),
  constraint lot_code_key unique (organisation_id, season_id, code)
);
create index lot_shipment on lot (organisation_id, shipment_id);
create index lot_season on lot (organisation_id, season_id, cultivar_id);

create table lot_farm (
  organisation_id uuid not null, lot_id uuid not null, farm_id uuid not null, site_id uuid not null,
  primary key (organisation_id, lot_id, farm_id),
  foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  constraint lot_farm_farm_fkey foreign key (organisation_id, farm_id) references farm (organisation_id, id)
);
create index lot_farm_farm on lot_farm (organisation_id, farm_id);

create table inspection (
  organisation_id uuid not null, id uuid not null,
  site_id      uuid not null,
  lot_id       uuid not null,
  kind         text not null check (kind in ('dock', 'second_look')),
  inspected_at timestamptz not null,
  inspector_id uuid not null,
  lens_power   double precision,
  detection_percent   double precision not null,
  confidence_percent  double precision not null,
  sensitivity_percent double precision not null,
  root_counts       int[],                   -- white, partly brown, brown, none
  condition_counts  int[],                   -- sound, slightly damaged, badly damaged, unusable
  leaf_spots_plants_looked_at int,
  leaf_spots_plants_with      int,
  note text not null default '',
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint inspection_lot_fkey foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  constraint inspection_inspector_fkey foreign key (organisation_id, inspector_id) references membership (organisation_id, person_id),
  check (leaf_spots_plants_with between 0 and leaf_spots_plants_looked_at)
);
create index inspection_lot on inspection (organisation_id, lot_id, inspected_at);

create table inspection_finding (
  organisation_id uuid not null, inspection_id uuid not null, organism_id uuid not null, site_id uuid not null,
  ordinal          smallint not null,
  plants_looked_at int not null check (plants_looked_at >= 1),
  infested_plants  int not null,
  primary key (organisation_id, inspection_id, organism_id),
  foreign key (organisation_id, inspection_id) references inspection (organisation_id, id),
  constraint inspection_finding_organism_fkey foreign key (organisation_id, organism_id) references organism (organisation_id, id),
  check (infested_plants between 0 and plants_looked_at)
);

create table inspection_sign (
  organisation_id uuid not null, inspection_id uuid not null, organism_id uuid not null, ordinal smallint not null, site_id uuid not null,
  stage  text not null,
  state  text not null default '',
  colour text not null default '',
  plants int not null check (plants >= 0),
  primary key (organisation_id, inspection_id, organism_id, ordinal),
  foreign key (organisation_id, inspection_id, organism_id) references inspection_finding
);

create table inspection_disease (
  organisation_id uuid not null, inspection_id uuid not null, ordinal smallint not null, site_id uuid not null,
  name             text not null,
  plants_looked_at int not null check (plants_looked_at >= 1),
  plants_with      int not null,
  primary key (organisation_id, inspection_id, ordinal),
  foreign key (organisation_id, inspection_id) references inspection (organisation_id, id),
  check (plants_with between 0 and plants_looked_at)
);

create table verdict (
  organisation_id uuid not null, id uuid not null,
  site_id       uuid not null,
  lot_id        uuid not null,
  inspection_id uuid not null,
  decision      text not null check (decision in ('accept', 'accept_and_watch', 'dip', 'hold', 'reject')),
  plants        int,
  because       text not null default '',
  suggested     text not null,               -- what was suggested when it was signed
  signed_at     timestamptz not null,        -- when it was first recorded; corrections leave it
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint verdict_inspection_fkey foreign key (organisation_id, inspection_id) references inspection (organisation_id, id),
  constraint verdict_lot_fkey foreign key (organisation_id, lot_id) references lot (organisation_id, id)
);
create index verdict_lot on verdict (organisation_id, lot_id, signed_at);

create table movement (
  organisation_id uuid not null, id uuid not null,
  site_id       uuid not null,
  lot_id        uuid not null,
  kind          text not null check (kind in ('receive', 'stick', 'pot', 'move', 'discard')),
  moved_at      timestamptz not null,
  plants        int not null check (plants >= 1),
  from_block_id uuid,
  to_block_id   uuid,
  reason        text not null default '',
  note          text not null default '',
  while_held    boolean not null,
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint movement_lot_fkey foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  constraint movement_from_block_fkey foreign key (organisation_id, from_block_id) references block (organisation_id, id),
  constraint movement_to_block_fkey foreign key (organisation_id, to_block_id) references block (organisation_id, id)
);
create index movement_lot on movement (organisation_id, lot_id, moved_at);

-- Derived from the movements: which lot stood in which block from when to when.
create table placement (
  organisation_id uuid not null,
  lot_id   uuid not null,
  block_id uuid not null,
  from_at  timestamptz not null,
  to_at    timestamptz,
  plants   int not null check (plants >= 1),
  site_id  uuid not null,                    -- of the block
  primary key (organisation_id, lot_id, block_id, from_at),
  foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  foreign key (organisation_id, block_id) references block (organisation_id, id),
  check (to_at is null or from_at < to_at)
);
create index placement_block on placement (organisation_id, block_id, from_at);

call bt_protect('shipment', true);
call bt_protect('shipment_paper', true);
call bt_protect('shipment_order_line', true);
call bt_protect('shipment_box', true);
call bt_protect('lot', true);
call bt_protect('lot_farm', true);
call bt_protect('inspection', true);
call bt_protect('inspection_finding', true);
call bt_protect('inspection_sign', true);
call bt_protect('inspection_disease', true);
call bt_protect('verdict', true);
call bt_protect('movement', true);
call bt_protect('placement', true);

-- +goose Down
drop table placement, movement, verdict, inspection_disease, inspection_sign, inspection_finding, inspection,
  lot_farm, lot, shipment_box, shipment_order_line, shipment_paper, shipment;
