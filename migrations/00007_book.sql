-- +goose Up
-- The book of movements: splits, merges, dispatches, counts; what holds plants where
-- they are; and what follows from all of it, which is written anew with every change.

-- +goose StatementBegin
create function bt_now() returns timestamptz language sql stable as
  $$ select coalesce(nullif(current_setting('benchtrail.now', true), '')::timestamptz, now()) $$;
-- +goose StatementEnd

create table customer (
  organisation_id uuid not null, id uuid not null,
  name    text not null,
  country text not null default '',
  note    text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint customer_name_key unique (organisation_id, name)
);

create table hold (
  organisation_id uuid not null, id uuid not null,
  site_id      uuid,                         -- of what is held; null for a crop
  scope        text not null check (scope in ('lot', 'shipment', 'crop', 'house', 'site')),
  scope_id     uuid not null,
  kind         text not null check (kind in ('internal', 'supplier', 'official')),
  from_at      timestamptz not null,
  to_at        timestamptz,
  reason       text not null,
  paper_number text not null default '',
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  check (to_at is null or from_at < to_at),
  check ((scope = 'crop') = (site_id is null))
);
create index hold_scope on hold (organisation_id, scope_id);

create table lab_sample (
  organisation_id uuid not null, id uuid not null,
  site_id       uuid not null,
  lot_id        uuid not null,
  block_id      uuid,
  taken_at      timestamptz not null,
  plants        int check (plants >= 1),
  sample_number text not null default '',
  laboratory    text not null default '',
  looked_for    text not null default '',
  result        text not null check (result in ('waiting', 'found', 'not_found')),
  result_on     date,
  report_number text not null default '',
  note          text not null default '',
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint lab_sample_lot_fkey foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  constraint lab_sample_block_fkey foreign key (organisation_id, block_id) references block (organisation_id, id)
);
create index lab_sample_lot on lab_sample (organisation_id, lot_id);

alter table block add column quarantine boolean not null default false, add column water text not null default '', add column tools text not null default '';
alter table cultivar add column gtin text not null default '';

-- A lot that began here by a split or merge has no shipment of its own.
alter table lot alter column shipment_id drop not null,
  add column born_by     uuid,
  add column origin_id   uuid,                             -- the shipment all its plants came with; null when there are several
  add column supplier_id uuid,                             -- the same of suppliers
  add column arrived_on  date,                             -- the first of its arrivals
  add column mixed       boolean not null default false,   -- of several shipments
  add column state       text not null default 'expected',
  add constraint lot_origin_fkey foreign key (organisation_id, origin_id) references shipment (organisation_id, id),
  add constraint lot_supplier_fkey foreign key (organisation_id, supplier_id) references supplier (organisation_id, id);
update lot set origin_id = s.id, supplier_id = s.supplier_id, arrived_on = s.arrived_on
  from shipment s where s.organisation_id = lot.organisation_id and s.id = lot.shipment_id;
alter table lot alter column arrived_on set not null,
  add check ((shipment_id is null) = (born_by is not null));
create index lot_origin on lot (organisation_id, origin_id);

alter table movement drop constraint movement_kind_check, drop constraint movement_plants_check,
  add constraint movement_kind_check check (kind in
    ('receive', 'stick', 'root', 'pot', 'pinch', 'space', 'move', 'split', 'merge', 'discard', 'dispatch', 'count')),
  add constraint movement_plants_check check (plants >= 0),
  add column rooted        int check (rooted >= 0),
  add column customer_id   uuid,
  add column paper_number  text not null default '',
  add column code          text not null default '',
  add column although_held boolean not null default false,
  add constraint movement_customer_fkey foreign key (organisation_id, customer_id) references customer (organisation_id, id);
create index movement_customer on movement (organisation_id, customer_id) where customer_id is not null;

create table movement_part (
  organisation_id uuid not null, movement_id uuid not null, ordinal smallint not null, site_id uuid not null,
  lot_id        uuid not null,
  plants        int not null check (plants >= 1),
  from_block_id uuid,
  to_block_id   uuid,
  code          text not null default '',
  primary key (organisation_id, movement_id, ordinal),
  foreign key (organisation_id, movement_id) references movement (organisation_id, id),
  constraint movement_part_lot_fkey foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  constraint movement_part_from_block_fkey foreign key (organisation_id, from_block_id) references block (organisation_id, id),
  constraint movement_part_to_block_fkey foreign key (organisation_id, to_block_id) references block (organisation_id, id)
);
create index movement_part_lot on movement_part (organisation_id, lot_id);

-- Derived from here on.
create table lot_account (
  organisation_id uuid not null, lot_id uuid not null, site_id uuid not null,
  received int not null, unplaced int not null, placed int not null, discarded int not null, dispatched int not null,
  split_off int not null, merged_away int not null, gained int not null, lost int not null,
  stuck int not null, rooted int not null,   -- the strike, as counted
  born_at timestamptz,
  born    int not null,                      -- parents come before children
  primary key (organisation_id, lot_id),
  foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  check (received = unplaced + placed + discarded + dispatched + split_off + merged_away + lost - gained)
);

create table lot_parent (
  organisation_id uuid not null, lot_id uuid not null, parent_id uuid not null, site_id uuid not null,
  movement_id uuid not null,
  born_at     timestamptz not null,
  plants      int not null check (plants >= 1),
  primary key (organisation_id, lot_id, parent_id),
  foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  foreign key (organisation_id, parent_id) references lot (organisation_id, id),
  foreign key (organisation_id, movement_id) references movement (organisation_id, id)
);
create index lot_parent_parent on lot_parent (organisation_id, parent_id);

-- The exact part of a lot's plants that came with an arrival.
create table lot_share (
  organisation_id uuid not null, lot_id uuid not null, arrival_id uuid not null, site_id uuid not null,
  numerator   numeric not null,
  denominator numeric not null,
  primary key (organisation_id, lot_id, arrival_id),
  foreign key (organisation_id, lot_id) references lot (organisation_id, id),
  foreign key (organisation_id, arrival_id) references lot (organisation_id, id),
  check (numerator > 0 and numerator <= denominator)
);
create index lot_share_arrival on lot_share (organisation_id, arrival_id);

create table movement_conflict (
  organisation_id uuid not null, movement_id uuid not null, site_id uuid not null,
  code     text not null,
  lot_id   uuid not null,
  block_id uuid,
  have     int not null,
  asked    int not null,
  detail   text not null,
  beside   uuid[] not null,                  -- the movements it cannot be reconciled with
  primary key (organisation_id, movement_id),
  foreign key (organisation_id, movement_id) references movement (organisation_id, id)
);
create index movement_conflict_site on movement_conflict (organisation_id, site_id);

-- Movements that were made although a hold or verdict forbade them.
create table breach (
  organisation_id uuid not null, movement_id uuid not null, hold_id uuid not null, site_id uuid not null,
  primary key (organisation_id, movement_id, hold_id),
  foreign key (organisation_id, movement_id) references movement (organisation_id, id)
);

-- The holds and verdicts that reach a lot, by descent or by where it stands.
create table lot_hold (
  organisation_id uuid not null, lot_id uuid not null, hold_id uuid not null, site_id uuid not null,
  by_verdict boolean not null,
  scope      text not null,
  scope_id   uuid not null,
  kind       text not null,
  from_at    timestamptz not null,
  to_at      timestamptz,
  reason     text not null,
  primary key (organisation_id, lot_id, hold_id, from_at),
  foreign key (organisation_id, lot_id) references lot (organisation_id, id)
);

insert into lot_account
  select l.organisation_id, l.id, l.site_id, coalesce(r.received, l.plants), l.plants_on_hand - p.placed, p.placed, d.discarded, 0, 0, 0, 0, 0, 0, 0,
    r.born_at, 0
  from lot l
  cross join lateral (select sum(m.plants)::int as received, min(m.moved_at) as born_at from movement m
    where m.organisation_id = l.organisation_id and m.lot_id = l.id and m.kind = 'receive' and m.withdrawn_because = '') r
  cross join lateral (select coalesce(sum(m.plants), 0)::int as discarded from movement m
    where m.organisation_id = l.organisation_id and m.lot_id = l.id and m.kind = 'discard' and m.withdrawn_because = '') d
  cross join lateral (select coalesce(sum(q.plants), 0)::int as placed from placement q
    where q.organisation_id = l.organisation_id and q.lot_id = l.id and q.to_at is null) p;
insert into lot_share select organisation_id, id, id, site_id, 1, 1 from lot;
update lot l set state = case
    when not exists (select from movement m where m.organisation_id = l.organisation_id and m.lot_id = l.id and m.withdrawn_because = '') then 'expected'
    when plants_on_hand = 0 then 'gone'
    else coalesce((select case when bool_or(m.kind = 'pot') then 'potted' when bool_or(m.kind = 'stick') then 'stuck' end from movement m
      where m.organisation_id = l.organisation_id and m.lot_id = l.id and m.withdrawn_because = ''), 'received') end;
insert into lot_hold
  select organisation_id, lot_id, id, site_id, true, 'lot', lot_id, 'internal', signed_at, until, because from (
    select v.*, lead(signed_at) over (partition by organisation_id, lot_id order by signed_at, id) as until
    from verdict v where withdrawn_because = '' and plants is null) v
  where decision in ('hold', 'reject') and (until is null or signed_at < until);
insert into breach
  select m.organisation_id, m.id, h.hold_id, m.site_id from movement m
  join lot_hold h on h.organisation_id = m.organisation_id and h.lot_id = m.lot_id and h.from_at <= m.moved_at and (h.to_at is null or m.moved_at < h.to_at)
  where m.while_held and m.withdrawn_because = '';
alter table movement drop column while_held;

call bt_protect('customer', false);
call bt_protect('hold', true);
call bt_protect('lab_sample', true);
call bt_protect('movement_part', true);
call bt_protect('lot_account', true);
call bt_protect('lot_parent', true);
call bt_protect('lot_share', true);
call bt_protect('movement_conflict', true);
call bt_protect('breach', true);
call bt_protect('lot_hold', true);

-- +goose Down
-- What came after cannot be said in the tables before: lots born here, and the kinds
-- of movements that were not known, are left out.
alter table movement add column while_held boolean not null default false;
update movement m set while_held = true where exists (select from breach b where b.organisation_id = m.organisation_id and b.movement_id = m.id);
alter table movement alter column while_held drop default;
drop table lot_hold, breach, movement_conflict, lot_share, lot_parent, lot_account;
-- Tallies of what is left out stay with the block.
update tally t set looks = t.looks + b.looks, plants = t.plants + b.plants, infested = t.infested + b.infested
  from (select x.organisation_id, x.organism_id, x.week_start, x.block_id, sum(x.looks) as looks, sum(x.plants) as plants, sum(x.infested) as infested
    from tally x join lot l on l.organisation_id = x.organisation_id and l.id = x.lot_id and l.born_by is not null group by 1, 2, 3, 4) b
  where t.organisation_id = b.organisation_id and t.organism_id = b.organism_id and t.week_start = b.week_start and t.block_id = b.block_id and t.lot_id is null;
insert into tally
  select x.organisation_id, x.organism_id, x.week_start, x.block_id, null, x.site_id, sum(x.looks), sum(x.plants), sum(x.infested)
  from tally x join lot l on l.organisation_id = x.organisation_id and l.id = x.lot_id and l.born_by is not null
  where not exists (select from tally y where y.organisation_id = x.organisation_id and y.organism_id = x.organism_id and y.week_start = x.week_start
    and y.block_id = x.block_id and y.lot_id is null) group by 1, 2, 3, 4, 6;
delete from tally t using lot l where l.organisation_id = t.organisation_id and l.id = t.lot_id and l.born_by is not null;
update look k set lot_id = null from lot l where l.organisation_id = k.organisation_id and l.id = k.lot_id and l.born_by is not null;
delete from placement p using lot l where l.organisation_id = p.organisation_id and l.id = p.lot_id and l.born_by is not null;
drop table movement_part, lab_sample;
delete from movement m using lot l where l.organisation_id = m.organisation_id and l.id = m.lot_id
  and (l.born_by is not null or m.kind in ('root', 'pinch', 'space', 'split', 'merge', 'dispatch', 'count') or m.plants = 0);
delete from verdict v using lot l where l.organisation_id = v.organisation_id and l.id = v.lot_id and l.born_by is not null;
delete from inspection_sign s using inspection i join lot l on l.organisation_id = i.organisation_id and l.id = i.lot_id
  where i.organisation_id = s.organisation_id and i.id = s.inspection_id and l.born_by is not null;
delete from inspection_finding s using inspection i join lot l on l.organisation_id = i.organisation_id and l.id = i.lot_id
  where i.organisation_id = s.organisation_id and i.id = s.inspection_id and l.born_by is not null;
delete from inspection_disease s using inspection i join lot l on l.organisation_id = i.organisation_id and l.id = i.lot_id
  where i.organisation_id = s.organisation_id and i.id = s.inspection_id and l.born_by is not null;
delete from inspection i using lot l where l.organisation_id = i.organisation_id and l.id = i.lot_id and l.born_by is not null;
delete from lot_farm f using lot l where l.organisation_id = f.organisation_id and l.id = f.lot_id and l.born_by is not null;
delete from lot where born_by is not null;
delete from revision r where noun in ('customer', 'hold', 'lab_sample') or noun = 'movement' and not exists
    (select from movement m where m.organisation_id = r.organisation_id and m.id = r.record_id);
alter table movement drop constraint movement_kind_check, drop constraint movement_plants_check, drop constraint movement_customer_fkey,
  drop column rooted, drop column customer_id, drop column paper_number, drop column code, drop column although_held,
  add constraint movement_kind_check check (kind in ('receive', 'stick', 'pot', 'move', 'discard')),
  add constraint movement_plants_check check (plants >= 1);
alter table lot drop column born_by, drop column origin_id, drop column supplier_id, drop column arrived_on, drop column mixed, drop column state,
  alter column shipment_id set not null;
alter table cultivar drop column gtin;
alter table block drop column quarantine, drop column water, drop column tools;
drop table hold, customer;
drop function bt_now;
