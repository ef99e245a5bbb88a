import type { FindingReading, Inspection } from '../../contract.gen';
import type { Format, Words } from '../../words';
import { upperPercent } from '../../words/dock-percent';
import { asSentence } from '../shared/marked';

/** How an organism is called by its id. */
export type NameOf = (organismId: string) => string;

interface Speech {
  words: Words;
  f: Format;
  nameOf: NameOf;
}

/** What one finding says of the whole lot; figures stand between `**`. A finding without a find says what it makes unlikely. */
export function findingSentence(finding: FindingReading, confidence: number, { words, f, nameOf }: Speech): string {
  const said = words.dock.inspection.reading;
  const of = f.of(finding.infested_plants, finding.plants_looked_at);
  const organism = nameOf(finding.organism_id);
  if (finding.infested_plants > 0) {
    return said.found(of, organism, f.interval(finding.infested_percent, finding.lower_percent, finding.upper_percent));
  }
  const ruledOut = finding.rules_out_percent;
  if (ruledOut === null || ruledOut === 0) return said.noneNothing(of, organism, f.percent(confidence));
  return said.none(of, organism, f.percent(confidence), upperPercent(f, ruledOut));
}

/** What the inspection rules out, and what it does not. Plants of the lot that a share means are rounded to the safe side. */
export function meaningOf(inspection: Inspection, lotPlants: number, { words, f, nameOf }: Speech): { out: string[]; open: string[] } {
  const said = words.dock.inspection.reading;
  const { reading } = inspection;
  const confidence = f.percent(reading.confidence_percent);
  const out: string[] = [];
  const open: string[] = [];
  for (const finding of reading.findings) {
    const organism = nameOf(finding.organism_id);
    const percent = finding.rules_out_percent;
    if (finding.infested_plants > 0) {
      if (finding.plants_looked_at < lotPlants) out.push(said.outFound(organism, f.percent(finding.lower_percent), f.percent(finding.upper_percent), confidence));
    } else if (typeof percent === 'number' && percent > 0) {
      const units = Math.round((percent / 100) * lotPlants);
      out.push(said.out(organism, upperPercent(f, percent), f.count(units), confidence));
      if (units > 1) open.push(said.openBelow(organism, upperPercent(f, percent), f.count(units - 1)));
    } else {
      open.push(said.openAny(organism));
    }
  }
  if (out.length === 0) out.push(said.outNothing);
  const sensitivity = inspection.sensitivity_percent ?? 100;
  if (sensitivity < 100) open.push(said.openRecognise(f.percent(sensitivity)));
  if (!inspection.lens_power) open.push(said.openEggs);
  open.push(said.openOthers);
  if (inspection.kind === 'dock') open.push(said.openLater);
  return { out: out.map(asSentence), open: open.map(asSentence) };
}

/** The regulated organisms a reading suspects. */
export function suspectedOf({ reading }: Inspection): string[] {
  return reading.reasons.flatMap(({ code, organism_id: id }) => (code === 'regulated_suspected' && id ? [id] : []));
}

/** The finding the answer begins with: the main pest, else the first. */
export function firstFinding({ reading }: Inspection, mainOrganism: string | undefined): FindingReading | undefined {
  return reading.findings.find((finding) => finding.organism_id === mainOrganism) ?? reading.findings[0];
}
