import type { Inspection, Lot, Verdict } from '../../contract.gen';
import { Table } from '../../parts';
import { format, words } from '../../words';
import { conditionClasses, rootClasses } from '../inspection/draft';
import { asSentence } from '../shared/marked';
import { cultivarName, farmName, organismName } from '../shared/names';
import { zoneOf } from '../shared/site';
import { countedOf, type Counted } from './counts';
import { plantsLookedAt, totalOf, type Found } from './found';
import { SheetPart } from './sheet-part';

interface Props {
  found: Found;
  /** The lots the claim is about. */
  lots: readonly Lot[];
}

/** Codes of lots, none of which is broken at its hyphen. */
function Codes({ codes }: { codes: readonly string[] }) {
  return (
    <>
      {codes.map((code, i) => (
        <span key={code}>
          <span class="claim-code">{code}</span>
          {i < codes.length - 1 && ', '}
        </span>
      ))}
    </>
  );
}

/** What was ordered, invoiced, received and inspected, by cultivar and form. */
export function CountsTable({ found, lots }: Props) {
  const { shipment: said, claim } = words.value.dock;
  const say = claim.sheet;
  const f = format.value;
  const { names } = found;
  const count = (n: number | null): string => (n === null ? '–' : f.count(n));
  const all = lots.length === found.lots.length;
  const rows = countedOf(found).filter((row) => all || row.lots.some(({ id }) => lots.some((lot) => lot.id === id)));
  return (
    <SheetPart title={say.counts}>
      <Table<Counted>
        caption={say.counts}
        stack
        rows={rows}
        rowKey={({ key }) => key}
        columns={[
          {
            key: 'cultivar',
            head: say.cultivar,
            cell: ({ cultivarId, substituteForId }) =>
              substituteForId === null ? cultivarName(names, cultivarId) : `${cultivarName(names, cultivarId)} (${said.insteadOf(cultivarName(names, substituteForId))})`,
          },
          { key: 'form', head: say.form, cell: ({ form }) => words.value.common.form[form] },
          { key: 'lots', head: said.lots, cell: (row) => (row.lots.length === 0 ? '–' : <Codes codes={row.lots.map(({ code }) => code ?? '')} />) },
          { key: 'ordered', head: say.ordered, number: true, cell: ({ ordered }) => count(ordered) },
          { key: 'invoiced', head: say.invoiced, number: true, cell: ({ invoiced }) => count(invoiced) },
          { key: 'papers', head: say.onPapers, number: true, cell: ({ onPapers }) => count(onPapers) },
          { key: 'received', head: say.received, number: true, cell: ({ received }) => count(received) },
          { key: 'difference', head: say.difference, number: true, cell: ({ difference }) => (difference === null ? '–' : difference === 0 ? '0' : f.signed(difference, 0)) },
          { key: 'inspected', head: say.inspected, number: true, cell: ({ inspected }) => f.count(inspected) },
        ]}
      />
      <p class="claim-small">{say.countsNote}</p>
    </SheetPart>
  );
}

interface Row {
  key: string;
  lot: Lot;
  inspection: Inspection | null;
  verdicts: Verdict[];
}

/** What was counted in an inspection, a line each. */
function findingLines(inspection: Inspection, { names }: Found): string[] {
  const said = words.value.dock.inspection;
  const f = format.value;
  const { condition, roots, leaf_spots: spots, other_diseases: diseases } = inspection;
  const classes = <K extends string>(title: string, keys: readonly K[], labels: Record<K, string>, counts: Partial<Record<K, number>> | null | undefined): string[] =>
    counts ? [`${title} (${words.value.common.plants(totalOf(counts))}): ${f.list(keys.filter((key) => counts[key]).map((key) => `${labels[key].toLocaleLowerCase()} ${f.count(counts[key] ?? 0)}`))}`] : [];
  return [
    ...inspection.reading.findings.map((finding) => `${asSentence(organismName(names, finding.organism_id))}: ${f.share(finding)}`),
    ...(spots ? [`${said.leafSpots}: ${f.of(spots.plants_with, spots.plants_looked_at)}`] : []),
    ...(diseases ?? []).map((disease) => `${disease.name}: ${f.of(disease.plants_with, disease.plants_looked_at)}`),
    ...classes(said.condition, conditionClasses, said.conditionClass, condition),
    ...classes(said.roots, rootClasses, said.rootClass, roots),
    ...(inspection.note ? [inspection.note] : []),
  ];
}

/** Each inspection of the lots: who looked, when, at how many plants, what was found, and the verdict. */
export function FindingsTable({ found, lots }: Props) {
  const { inspection: said, lot: saidLot, claim } = words.value.dock;
  const { common } = words.value;
  const say = claim.sheet;
  const f = format.value;
  const zone = zoneOf(found.shipment.site_id);
  const rows = lots.flatMap((lot): Row[] => {
    const made = found.inspections.filter(({ lot_id }) => lot_id === lot.id);
    if (made.length === 0) return [{ key: lot.id, lot, inspection: null, verdicts: [] }];
    return made.map((inspection) => ({ key: inspection.id, lot, inspection, verdicts: found.verdicts.filter(({ inspection_id }) => inspection_id === inspection.id) }));
  });
  const confidence = found.inspections[0]?.reading.confidence_percent;
  return (
    <SheetPart title={say.findings}>
      <Table<Row>
        caption={say.findings}
        stack
        rows={rows}
        rowKey={({ key }) => key}
        columns={[
          {
            key: 'lot',
            head: claim.lot,
            cell: ({ lot }) => (
              <>
                <span class="claim-code">{lot.code}</span> {cultivarName(found.names, lot.cultivar_id)}
                {(lot.farm_ids ?? []).length > 0 && <span class="claim-farm">{f.list((lot.farm_ids ?? []).map((id) => farmName(found.names, id)))}</span>}
              </>
            ),
          },
          {
            key: 'inspection',
            head: say.inspection,
            cell: ({ inspection }) =>
              inspection
                ? [
                    inspection.kind === 'second_look' ? said.kind.second_look : null,
                    `${f.moment(inspection.inspected_at, zone)}, ${inspection.inspector?.name ?? inspection.recorded_by.name}`,
                    common.plants(plantsLookedAt(inspection)),
                    inspection.lens_power ? say.lensOf(f.number(inspection.lens_power)) : said.noLens,
                  ]
                    .filter((part) => part !== null)
                    .join(' · ')
                : say.notInspected,
          },
          {
            key: 'found',
            head: say.found,
            cell: ({ inspection }) =>
              inspection ? (
                <ul class="claim-found">
                  {findingLines(inspection, found).map((line) => (
                    <li key={line}>{line}</li>
                  ))}
                </ul>
              ) : (
                '–'
              ),
          },
          {
            key: 'verdict',
            head: say.verdict,
            cell: ({ verdicts }) =>
              verdicts.length === 0
                ? say.noVerdict
                : verdicts
                    .map((verdict) =>
                      [
                        saidLot.verdict[verdict.decision],
                        verdict.plants ? said.verdict.partOf(verdict.plants) : null,
                        say.signedBy(verdict.recorded_by.name, f.moment(verdict.recorded_at, zone)),
                        verdict.because || null,
                      ]
                        .filter((part) => part !== null)
                        .join(' · '),
                    )
                    .join('; '),
          },
        ]}
      />
      {confidence !== undefined && <p class="claim-small">{say.findingsNote(f.percent(confidence))}</p>}
    </SheetPart>
  );
}
