-- +goose Up
-- What a phone says of how a record was made with no network, and what is noted of
-- a block besides its plants.

-- As the phone said it: made (when by its clock, by whom, how far its clock was ahead,
-- the daybook) and sent_at. Null where nothing was said. Text of clocks stays text,
-- since a wrong one may say what no timestamp can hold.
alter table revision add column phone jsonb;

alter table look
  add column crop_stage text not null default '' check (crop_stage in ('', 'unrooted', 'callused', 'rooting', 'established',
    'pinched', 'shoots', 'bracts_colouring', 'finished')),
  add column hot_spot text not null default '',
  add column seconds int not null default 0 check (seconds between 0 and 86400);

-- +goose Down
update look set doubts = array_remove(doubts, 'clock_changed') where 'clock_changed' = any(doubts);
alter table look drop column crop_stage, drop column hot_spot, drop column seconds;
alter table revision drop column phone;
