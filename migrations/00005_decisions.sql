-- +goose Up
-- What a person chose for a cultivar in a house, with the figures it was made on.

create table decision (
  organisation_id uuid not null, id uuid not null,
  site_id     uuid not null,
  house_id    uuid not null,
  cultivar_id uuid not null,
  organism_id uuid not null,
  season_id   uuid not null,
  choice      text not null check (choice in ('look_at_more', 'stay_biological', 'deal_with_hot_spots', 'selective_control', 'something_else')),
  because     text not null,
  decided_at  timestamptz not null,
  decided_by  uuid not null,                 -- who recorded it first; recorded_by is whoever wrote it last
  -- The figures as they stood then and were sent, never worked out anew.
  week               text not null default '',
  plants_looked_at   int not null default 0,
  infested_plants    int not null default 0,
  percent            double precision check (percent between 0 and 100),
  lower_percent      double precision check (lower_percent between 0 and 100),
  upper_percent      double precision check (upper_percent between 0 and 100),
  limit_percent      double precision check (limit_percent between 0 and 100),
  limit_on           date,
  over_limit_percent double precision check (over_limit_percent between 0 and 100),
  suggested          text not null default '',
  done_on     date,
  done_note   text not null default '',
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint decision_house_fkey foreign key (organisation_id, house_id) references house (organisation_id, id),
  constraint decision_cultivar_fkey foreign key (organisation_id, cultivar_id) references cultivar (organisation_id, id),
  constraint decision_organism_fkey foreign key (organisation_id, organism_id) references organism (organisation_id, id),
  constraint decision_season_fkey foreign key (organisation_id, season_id) references season (organisation_id, id),
  check (infested_plants between 0 and plants_looked_at)
);
create index decision_season on decision (organisation_id, season_id, house_id, cultivar_id);

call bt_protect('decision', true);

-- +goose Down
drop table decision;
