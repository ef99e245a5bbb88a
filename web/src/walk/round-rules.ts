import type { RoundRules } from '../contract.gen';

/** What stands in for the rules that a site leaves out; the contract's defaults. */
export const usualRules: Required<RoundRules> = {
  crop_percent: 5,
  blocks_percent: 50,
  plants_per_block_least: 15,
  plants_per_block_most: 20,
  seconds_per_plant: 12,
  minutes_per_block: 1.5,
};

/** The rules of a site, with what it leaves out filled in. */
export function wholeRules(rules: RoundRules | null | undefined): Required<RoundRules> {
  return { ...usualRules, ...rules };
}
