-- +goose Up
create table claim (
  organisation_id uuid not null, id uuid not null,
  site_id         uuid not null,
  shipment_id     uuid not null,
  text            text not null default '',
  sent_at         timestamptz,
  sent_by         text not null default '',  -- how and to whom
  answered_at     timestamptz,
  answer          text not null default '',
  credit_amount   numeric check (credit_amount >= 0),
  credit_currency text not null default '',
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint claim_shipment_fkey foreign key (organisation_id, shipment_id) references shipment (organisation_id, id),
  check ((credit_amount is null) = (credit_currency = ''))
);
create index claim_shipment on claim (organisation_id, shipment_id);

create table claim_item (
  organisation_id uuid not null, claim_id uuid not null, ordinal smallint not null, site_id uuid not null,
  lot_id uuid,
  what   text not null,
  plants int not null check (plants >= 0),
  note   text not null default '',
  primary key (organisation_id, claim_id, ordinal),
  foreign key (organisation_id, claim_id) references claim (organisation_id, id),
  constraint claim_item_lot_fkey foreign key (organisation_id, lot_id) references lot (organisation_id, id)
);

call bt_protect('claim', true);
call bt_protect('claim_item', true);

-- +goose Down
drop table claim_item, claim;
delete from revision where noun = 'claim';
