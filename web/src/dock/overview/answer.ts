import type { Format, Words } from '../../words';
import { asSentence } from '../shared/marked';
import type { DockAnswer } from './order';

/** The state of the dock in one or two sentences; figures stand between `**`. */
export function dockSentence(
  found: DockAnswer,
  { now, today, supplier }: { now: Date; today: string; supplier: (id: string) => string },
  { dock }: Words,
  f: Format,
): string {
  const said = dock.answer;
  const sentence = (parts: (string | false)[]): string => {
    const kept = parts.filter((part) => part !== false);
    return kept.length > 0 ? `${asSentence(kept.join('; '))}.` : '';
  };
  const { claim, next } = found;
  const first = sentence([
    found.lotsWaiting > 0 && said.waiting(found.lotsWaiting),
    found.withoutLots > 0 && said.withoutLots(found.withoutLots),
    found.undecided > 0 && said.undecided(found.undecided),
    claim?.claim_closes_at != null && said.claimOpen(supplier(claim.supplier_id), f.span(Date.parse(claim.claim_closes_at) - now.getTime())),
  ]);
  const second = sentence([found.late > 0 && said.late(found.late), found.due > 0 && said.due(found.due)]);
  if (first !== '' || second !== '') return [first, second].filter(Boolean).join(' ');
  if (!next) return `${said.nothing} ${said.noneExpected}`;
  const day = f.weekday(next.expected_on);
  if (next.expected_on < today) return `${said.nothing} ${said.overdue(supplier(next.supplier_id), day)}`;
  const when = next.expected_on === today ? said.today : said.onDay(day);
  return `${said.nothing} ${said.next(supplier(next.supplier_id), when)}`;
}
