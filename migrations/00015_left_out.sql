-- +goose Up
-- Trends tell how many looks they leave out: those are found without reading all.
create index look_left_out on look (organisation_id, week_start) where purpose = 'on_purpose' or withdrawn_because <> '';

-- +goose Down
drop index look_left_out;
