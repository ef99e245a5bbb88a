-- +goose Up
-- Photos of looks, inspections, shipments and lots. Where one is seen follows what
-- it shows, which no foreign key can name: it is one of four tables.

create table photo (
  organisation_id uuid not null, id uuid not null,
  site_id      uuid not null,
  subject_noun text not null check (subject_noun in ('looks', 'inspections', 'shipments', 'lots')),
  subject_id   uuid not null,
  plant        int check (plant >= 1),
  taken_at     timestamptz not null,
  what         text not null default '',
  note         text not null default '',
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id)
);
create index photo_subject on photo (organisation_id, subject_id);

-- Apart from the record, so that lists of photos do not carry their pictures.
create table photo_picture (
  organisation_id uuid not null, photo_id uuid not null, site_id uuid not null,
  received_hash bytea not null,              -- SHA-256 of the bytes as they were sent
  width         int not null check (width >= 1),
  height        int not null check (height >= 1),
  full_jpeg     bytea not null,
  small_jpeg    bytea not null,
  stored_at timestamptz not null, stored_by uuid not null,
  primary key (organisation_id, photo_id),
  foreign key (organisation_id, photo_id) references photo (organisation_id, id)
);
alter table photo_picture alter column full_jpeg set storage external, alter column small_jpeg set storage external; -- packed already

call bt_protect('photo', true);
call bt_protect('photo_picture', true);

-- +goose Down
drop table photo_picture, photo;
delete from revision where noun = 'photo';
