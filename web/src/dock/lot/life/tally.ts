import type { LotTally } from '../../../contract.gen';

/** A term of the sum; the words are those of `dock.life.sum`. */
export interface Term {
  key: 'received' | 'born' | 'gained' | 'onHand' | 'discarded' | 'dispatched' | 'splitOff' | 'mergedAway' | 'lost';
  plants: number;
}

/** What came on one side, where it is on the other. Only plants on hand are named when there are none. */
export function sumOf(tally: LotTally, born: boolean): { came: Term[]; went: Term[] } {
  const came: Term[] = [
    { key: born ? 'born' : 'received', plants: tally.received },
    { key: 'gained', plants: tally.gained },
  ];
  const went: Term[] = [
    { key: 'onHand', plants: tally.unplaced + tally.placed },
    { key: 'discarded', plants: tally.discarded },
    { key: 'dispatched', plants: tally.dispatched },
    { key: 'splitOff', plants: tally.split_off },
    { key: 'mergedAway', plants: tally.merged_away },
    { key: 'lost', plants: tally.lost },
  ];
  const first = (terms: Term[]): Term[] => terms.filter(({ plants }, i) => i === 0 || plants !== 0);
  return { came: first(came), went: first(went) };
}
