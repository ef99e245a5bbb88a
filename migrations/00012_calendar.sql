-- +goose Up
-- A token may be the secret in the address of a calendar, which opens nothing else: what
-- is due at one site.
alter table token
  add purpose text not null default 'program' check (purpose in ('program', 'calendar')),
  add site_id uuid,
  add constraint token_site_fkey foreign key (organisation_id, site_id) references site (organisation_id, id),
  add constraint token_of_site check ((purpose = 'calendar') = (site_id is not null));
create policy site on token as restrictive
  using (site_id is null or (select bt_every_site()) or site_id = any ((select bt_sites())::uuid[]));

-- +goose Down
drop policy site on token;
delete from token where purpose = 'calendar';
alter table token drop purpose, drop site_id;
