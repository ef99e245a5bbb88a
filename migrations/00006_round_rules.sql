-- +goose Up
-- What a round of scouting has to fulfil at a site; null where common practice will do.
alter table site
  add round_crop_percent      double precision check (round_crop_percent > 0 and round_crop_percent <= 100),
  add round_blocks_percent    double precision check (round_blocks_percent > 0 and round_blocks_percent <= 100),
  add round_plants_least      int check (round_plants_least between 1 and 200),
  add round_plants_most       int check (round_plants_most between 1 and 200),
  add round_seconds_per_plant double precision check (round_seconds_per_plant > 0 and round_seconds_per_plant <= 600),
  add round_minutes_per_block double precision check (round_minutes_per_block between 0 and 60),
  add constraint site_round_plants check (round_plants_least <= round_plants_most);

-- +goose Down
alter table site
  drop round_crop_percent, drop round_blocks_percent, drop round_plants_least, drop round_plants_most,
  drop round_seconds_per_plant, drop round_minutes_per_block;
