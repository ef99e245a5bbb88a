-- +goose Up
-- People who see and never write, and the last day of an account.

alter table site_role drop constraint site_role_role_check,
  add constraint site_role_role_check check (role in ('receiver', 'grower', 'owner', 'reader'));

alter table membership add column ends_on date;   -- the last day, at the person's sites; null for no end

-- +goose Down
alter table membership drop column ends_on;
delete from site_role where role = 'reader';
alter table site_role drop constraint site_role_role_check,
  add constraint site_role_role_check check (role in ('receiver', 'grower', 'owner'));
