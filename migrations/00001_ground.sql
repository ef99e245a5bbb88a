-- +goose Up
-- Persons and what opens the door for them stand outside the organisations.
-- Each of these rows shows itself only to who already holds its key: the
-- e-mail being signed in with, the hash of the cookie or token shown, or the
-- person signed in. With nothing set, nothing is seen.

create function bt_organisation() returns uuid language sql stable parallel safe
  return nullif(current_setting('benchtrail.organisation', true), '')::uuid;
create function bt_person() returns uuid language sql stable parallel safe
  return nullif(current_setting('benchtrail.person', true), '')::uuid;
create function bt_email() returns text language sql stable parallel safe
  return nullif(current_setting('benchtrail.email', true), '');
create function bt_credential() returns text language sql stable parallel safe
  return nullif(current_setting('benchtrail.credential', true), '');
-- The sites whose own rows may be seen: '*' for all, else a comma-separated list.
create function bt_every_site() returns boolean language sql stable parallel safe
  return coalesce(current_setting('benchtrail.sites', true), '') = '*';
create function bt_sites() returns uuid[] language sql stable parallel safe
  return string_to_array(nullif(nullif(current_setting('benchtrail.sites', true), ''), '*'), ',')::uuid[];

-- One row: what kind of database this is. The program may read it, never change it.
create table installation (
  single          boolean primary key default true check (single),
  demo            boolean not null default false,
  demo_clock_from timestamptz,  -- the moment at which the demo clock showed demo_clock_at
  demo_clock_at   timestamptz,
  demo_filled     boolean not null default false,
  check (demo = (demo_clock_from is not null and demo_clock_at is not null))
);
insert into installation default values;

create table person (
  id            uuid primary key,
  email         text not null,
  name          text not null,
  language      text not null default 'en',
  password_hash text not null,
  disabled      boolean not null default false,
  created_at    timestamptz not null,
  home_organisation_id uuid not null,          -- the one whose owners may change this row
  constraint person_email_key unique (email),
  constraint person_email_lower check (email = lower(email)),
  constraint person_language check (language in ('en', 'es'))
);

-- The demo's accounts have a published password: they exist in a demo's database or not at all.
-- +goose StatementBegin
create function bt_demo_person_only_in_demo() returns trigger language plpgsql as $$
begin
  if new.email like '%@demo.example' and not exists (select from installation where demo) then
    raise exception 'demo accounts exist only in a demo database' using errcode = 'BT001';
  end if;
  return new;
end $$;
-- +goose StatementEnd
create trigger person_demo before insert or update on person
  for each row execute function bt_demo_person_only_in_demo();

create table session (
  credential   text primary key,               -- SHA-256 of the cookie, hex
  person_id    uuid not null references person on delete cascade,
  organisation_id uuid not null,
  created_at   timestamptz not null,
  expires_at   timestamptz not null
);
create index session_person on session (person_id);

create table organisation (
  organisation_id uuid primary key,
  name            text not null,
  created_at      timestamptz not null
);
alter table session add foreign key (organisation_id) references organisation;
alter table person add foreign key (home_organisation_id) references organisation;

create table membership (
  organisation_id uuid not null references organisation,
  person_id       uuid not null references person,
  version         int  not null default 1,
  recorded_at     timestamptz not null,
  recorded_by     uuid not null,
  primary key (organisation_id, person_id)
);
create index membership_person on membership (person_id);

create table site (
  organisation_id uuid not null references organisation,
  id              uuid not null,
  name            text not null,
  time_zone       text not null,
  country         text not null default '',
  version         int  not null,
  recorded_at     timestamptz not null,
  recorded_by     uuid not null,
  primary key (organisation_id, id),
  constraint site_name_key unique (organisation_id, name)
);

-- One row for each role a person has at a site, or at every site (site_id null).
create table site_role (
  organisation_id uuid not null,
  person_id       uuid not null,
  ordinal         smallint not null,
  role            text not null check (role in ('receiver', 'grower', 'owner')),
  site_id         uuid,
  primary key (organisation_id, person_id, ordinal),
  foreign key (organisation_id, person_id) references membership on delete cascade,
  constraint site_role_site_fkey foreign key (organisation_id, site_id) references site (organisation_id, id)
);

create table token (
  organisation_id uuid not null,
  id              uuid not null,
  person_id       uuid not null,
  name            text not null,
  credential      text not null unique,        -- SHA-256 of the secret, hex
  expires_on      date,
  withdrawn       boolean not null default false,
  version         int  not null,
  recorded_at     timestamptz not null,
  recorded_by     uuid not null,
  primary key (organisation_id, id),
  foreign key (organisation_id, person_id) references membership
);

-- Every version of every record, with who, when and why. A PUT that comes
-- twice is recognised here by what it expected and what it said.
create table revision (
  organisation_id  uuid not null references organisation,
  record_id        uuid not null,
  version          int  not null check (version >= 1),
  noun             text not null,
  site_id          uuid,
  expected_version int  not null,              -- 0 for a create
  content          jsonb not null,
  content_hash     bytea not null,
  recorded_at      timestamptz not null,
  recorded_by      uuid not null,
  primary key (organisation_id, record_id, version)
);

-- Row-level security for a table of an organisation: own organisation only and,
-- where rows are a site's own, only the sites set. Forced, so that the owner of
-- the tables is bound as well.
-- +goose StatementBegin
create procedure bt_protect(t regclass, site_own boolean) language plpgsql as $$
begin
  execute format('alter table %s enable row level security', t);
  execute format('alter table %s force row level security', t);
  execute format('create policy organisation on %s using (organisation_id = (select bt_organisation()))
                  with check (organisation_id = (select bt_organisation()))', t);
  if site_own then
    execute format('create policy site on %s as restrictive
                    using (site_id is null or (select bt_every_site()) or site_id = any ((select bt_sites())::uuid[]))', t);
  end if;
  execute format('grant select, insert, update, delete on %s to benchtrail_program', t);
end $$;
-- +goose StatementEnd

call bt_protect('site_role', false);
call bt_protect('revision', true);
-- What was said is never said otherwise; only where it is seen follows its record.
revoke update, delete on revision from benchtrail_program;
grant update (site_id) on revision to benchtrail_program;

grant select on installation to benchtrail_program;

alter table person enable row level security;
alter table person force row level security;
create policy own on person using (
    id = (select bt_person()) or email = (select bt_email())
    or exists (select from membership m
               where m.person_id = person.id and m.organisation_id = (select bt_organisation())))
  with check (id = (select bt_person()) or home_organisation_id = (select bt_organisation()));
grant select, insert, update on person to benchtrail_program;

alter table session enable row level security;
alter table session force row level security;
create policy own on session using (credential = (select bt_credential()) or person_id = (select bt_person()));
grant select, insert, update, delete on session to benchtrail_program;

alter table organisation enable row level security;
alter table organisation force row level security;
create policy own on organisation using (organisation_id = (select bt_organisation())
    or exists (select from membership m
               where m.organisation_id = organisation.organisation_id and m.person_id = (select bt_person())))
  with check (organisation_id = (select bt_organisation()));
grant select, insert, update on organisation to benchtrail_program;

alter table membership enable row level security;
alter table membership force row level security;
create policy own on membership using (organisation_id = (select bt_organisation()) or person_id = (select bt_person()))
  with check (organisation_id = (select bt_organisation()));
grant select, insert, update on membership to benchtrail_program;

alter table site enable row level security;
alter table site force row level security;
create policy organisation on site using (organisation_id = (select bt_organisation()))
  with check (organisation_id = (select bt_organisation()));
create policy site on site as restrictive
  using ((select bt_every_site()) or id = any ((select bt_sites())::uuid[]));
grant select, insert, update on site to benchtrail_program;

alter table token enable row level security;
alter table token force row level security;
create policy own on token using (organisation_id = (select bt_organisation()) or credential = (select bt_credential()))
  with check (organisation_id = (select bt_organisation()));
grant select, insert, update on token to benchtrail_program;

-- +goose Down
drop table revision, token, site_role, site, membership, session, organisation, person, installation cascade;
drop procedure bt_protect;
drop function bt_demo_person_only_in_demo, bt_sites, bt_every_site, bt_credential, bt_email, bt_person, bt_organisation;
