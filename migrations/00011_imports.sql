-- +goose Up
-- Looks of earlier seasons, brought in from a file together and withdrawn together.

create table import (
  organisation_id uuid not null, id uuid not null,
  site_id   uuid not null,
  file_name text not null,
  file_hash bytea not null,                  -- SHA-256 of its bytes: the same file again is told
  lines     int  not null check (lines >= 0),
  looks     int  not null check (looks >= 0),
  made      int  not null check (made >= 0), -- names made for it
  first_on  date,
  last_on   date,
  withdrawn_because text not null default '',
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint import_site_fkey foreign key (organisation_id, site_id) references site (organisation_id, id)
);
create index import_file on import (organisation_id, site_id, file_hash);

alter table look
  add column import_id   uuid,               -- null: made here
  add column import_line int,                -- of the file
  add column looked_by   text not null default '', -- by the file, where none of our people has the name
  add constraint look_import_fkey foreign key (organisation_id, import_id) references import (organisation_id, id),
  add check ((import_id is null) = (import_line is null));
create index look_import on look (organisation_id, import_id) where import_id is not null;

-- A lot known from an import only stands nowhere now.
alter table lot
  add column import_id uuid,
  add constraint lot_import_fkey foreign key (organisation_id, import_id) references import (organisation_id, id);

call bt_protect('import', true);

-- +goose Down
alter table lot drop column import_id;
alter table look drop column import_id, drop column import_line, drop column looked_by;
drop table import;
delete from revision where noun = 'import';
