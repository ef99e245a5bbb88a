import type { Inspection, Verdict } from '../../contract.gen';
import { Tag } from '../../parts';
import { Link } from '../../router';
import { format, words } from '../../words';
import { Marked } from '../shared/marked';
import { organismName, type Names } from '../shared/names';
import { findingSentence } from './reading';
import { VerdictLine } from './verdict';

interface Props {
  inspection: Inspection;
  verdicts: readonly Verdict[];
  zone: string;
  names: Names;
}

/** An inspection in the list of its lot: what it found, and what was decided. */
export function InspectionItem({ inspection, verdicts, zone, names }: Props) {
  const { dock } = words.value;
  const said = dock.inspection;
  const speech = { words: words.value, f: format.value, nameOf: (id: string) => organismName(names, id) };
  const { withdrawn_because: withdrawn, reading } = inspection;
  const standing = verdicts.filter((verdict) => !verdict.withdrawn_because);
  return (
    <li class={withdrawn ? 'dock-move dock-move-withdrawn' : 'dock-move'}>
      <p>
        <Link to={`/dock/inspections/${inspection.id}`} class="dock-lot-name">
          {said.kind[inspection.kind]}, {format.value.moment(inspection.inspected_at, zone)}
        </Link>
      </p>
      {reading.findings.map((finding) => (
        <p key={finding.organism_id}>
          <Marked text={findingSentence(finding, reading.confidence_percent, speech)} />
        </p>
      ))}
      {withdrawn && <p>{dock.withdraw.notice(withdrawn)}</p>}
      {!withdrawn && standing.length === 0 && (
        <p>
          <Tag>{said.verdict.none}</Tag>
        </p>
      )}
      {standing.map((verdict) => (
        <VerdictLine key={verdict.id} verdict={verdict} zone={zone} />
      ))}
    </li>
  );
}
