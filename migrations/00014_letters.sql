-- +goose Up
-- Who gets a letter every week, about which section; and which letters were sent.

-- Set while letters are sent: then those of every organisation are seen.
create function bt_post() returns boolean language sql stable parallel safe
  return coalesce(current_setting('benchtrail.post', true), '') = 'on';

create table letter (
  organisation_id uuid not null, id uuid not null,
  site_id    uuid not null,
  section_id uuid,                           -- null for all sections of the site
  person_id  uuid not null,
  since      timestamptz not null,           -- asked for, or asked for again
  stopped    boolean not null default false,
  version int not null, recorded_at timestamptz not null, recorded_by uuid not null,
  primary key (organisation_id, id),
  constraint letter_site_fkey foreign key (organisation_id, site_id) references site (organisation_id, id),
  constraint letter_section_fkey foreign key (organisation_id, section_id) references section (organisation_id, id),
  foreign key (organisation_id, person_id) references membership (organisation_id, person_id)
);
create index letter_person on letter (organisation_id, person_id);

-- One row for each person and week: nobody gets two.
create table letter_sent (
  organisation_id uuid not null, person_id uuid not null, week_start date not null,
  sent_at timestamptz not null,
  primary key (organisation_id, person_id, week_start),
  foreign key (organisation_id, person_id) references membership (organisation_id, person_id),
  check (extract(isodow from week_start) = 1)
);

call bt_protect('letter', true);
call bt_protect('letter_sent', false);
create policy post on letter for select using ((select bt_post()));

-- +goose Down
drop table letter_sent, letter;
drop function bt_post;
