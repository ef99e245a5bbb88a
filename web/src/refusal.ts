import type { Words } from './words';

/** What a refusal says: the form in which the server puts it, and the same in the reader's words. */
type Form = [RegExp, (counted: Words['problems']['counted'], found: (i: number) => string) => string];

function named(table: Record<string, string>, key: string): string {
  return Object.hasOwn(table, key) ? (table[key] ?? key) : key;
}

const forms: readonly Form[] = [
  [
    /^(\d+) plants are (?:to go|named) but only (\d+) stood there on (\d{4}-\d\d-\d\d)$/,
    (said, found) => said.more_than_there(Number(found(1)), Number(found(2)), found(3)),
  ],
  [
    /^(\d+) plants were received on (\d{4}-\d\d-\d\d) but (\d+) had been placed or discarded by then$/,
    (said, found) => said.fewer_than_placed(Number(found(1)), Number(found(3)), found(2)),
  ],
  [
    /^(\d+) plants are said to have been stuck but the lot never had more than (\d+)$/,
    (said, found) => said.more_than_ever(Number(found(1)), Number(found(2))),
  ],
  [
    /^(\d+) plants were counted anew on (\d{4}-\d\d-\d\d), before the receipt of the lot$/,
    (said, found) => said.not_yet_received(Number(found(1)), found(2)),
  ],
  [
    /^(\d+) plants are asked for on (\d{4}-\d\d-\d\d) but the lot had not begun \(its \w+ is of (\d{4}-\d\d-\d\d)\)$/,
    (said, found) => said.before_birth(Number(found(1)), found(2), found(3)),
  ],
  [
    /^(\d+) plants are asked for on (\d{4}-\d\d-\d\d) but no split or merge says how the lot began$/,
    (said, found) => said.never_born(Number(found(1)), found(2)),
  ],
  [/^the lot had begun before (\d{4}-\d\d-\d\d)$/, (said, found) => said.born_twice(found(1))],
  [/^(\d+) plants are of a lot that would descend from itself$/, (said, found) => said.circle(Number(found(1)))],
  [/^(\d+) plants are of another cultivar than the lot they would begin or join$/, (said, found) => said.other_cultivar(Number(found(1)))],
  [/^the parts add up to (\d+) plants, not to (\d+)$/, (said, found) => said.do_not_add_up(Number(found(1)), Number(found(2)))],
  [/^(\d+) rooted of (\d+) stuck$/, (said, found) => said.more_than_stuck(Number(found(1)), Number(found(2)))],
  [
    /^the plants are held since (\d{4}-\d\d-\d\d) \((\w+): (.*)\); bring them into quarantine/,
    (said, found) => said.held(found(1), named(said.hold, found(2)), found(3)),
  ],
];

const another = /^then the (\w+) of (\d{4}-\d\d-\d\d) no longer fits: (.*)$/;

/**
 * A refusal of the book in the reader's language, with the server's numbers; undefined when the
 * detail has none of the forms known here. A fault carries its numbers only in its English detail.
 */
export function refusalText(detail: string, words: Words): string | undefined {
  const { counted } = words.problems;
  const impossible = another.exec(detail);
  if (impossible) {
    const [, kind = '', day = '', why = ''] = impossible;
    return counted.makes_impossible(named(counted.movement, kind), day, refusalText(why, words) ?? why);
  }
  for (const [form, say] of forms) {
    const found = form.exec(detail);
    if (found) return say(counted, (i) => found[i] ?? '');
  }
  return undefined;
}
