import type { Condition, Inspection, InspectionBody, Stage } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';
import { Drafts, rowKey } from '../shared/drafts';

export const stages: readonly Stage[] = ['egg', 'small_nymph', 'large_nymph', 'pupa', 'empty_case', 'adult'];
export const conditionClasses = ['sound', 'slightly_damaged', 'badly_damaged', 'unusable'] as const;
export const rootClasses = ['white', 'partly_brown', 'brown', 'none'] as const;

export interface SignDraft {
  key: string;
  stage: Stage;
  state: Condition;
  colour: string;
  plants: number | null;
}

export interface FindingDraft {
  organismId: string;
  /** Null for all but the first: as many as for the first. */
  lookedAt: number | null;
  infested: number;
  signs: SignDraft[];
  /** The counts before each tap, so that a tap can be taken back. */
  taps: { lookedAt: number | null; infested: number }[];
}

export interface DiseaseDraft {
  key: string;
  name: string;
  lookedAt: number | null;
  with: number | null;
}

export type Classes<K extends string> = Record<K, number | null>;

/** What is asked of the sample, in percent. */
export interface Asked {
  detection: number;
  confidence: number;
  sensitivity: number;
}

/** An inspection as it is being made. */
export interface InspectionDraft {
  id: string;
  lotId: string;
  kind: Inspection['kind'];
  /** Null: the moment of saving. */
  inspectedAt: string | null;
  inspectorId: string | null;
  /** Magnification, `none` for the bare eye, null while nobody said. */
  lens: number | 'none' | null;
  asked: Asked;
  findings: FindingDraft[];
  condition: Classes<(typeof conditionClasses)[number]>;
  roots: Classes<(typeof rootClasses)[number]>;
  leafSpots: { lookedAt: number | null; with: number | null };
  diseases: DiseaseDraft[];
  note: string;
  withdrawnBecause: string | null;
}

export const inspectionDrafts = new Drafts<InspectionDraft>('inspection');

export function newFinding(organismId: string): FindingDraft {
  return { organismId, lookedAt: null, infested: 0, signs: [], taps: [] };
}

/** What is asked of a sample when nothing else is said, as the server has it. */
export const usualAsked: Asked = { detection: 5, confidence: 95, sensitivity: 100 };

export function newInspectionDraft(lotId: string, kind: Inspection['kind'], mainOrganism: string, lens: InspectionDraft['lens']): InspectionDraft {
  return {
    id: uuid7(),
    lotId,
    kind,
    inspectedAt: null,
    inspectorId: null,
    lens,
    asked: usualAsked,
    findings: [newFinding(mainOrganism)],
    condition: { sound: null, slightly_damaged: null, badly_damaged: null, unusable: null },
    roots: { white: null, partly_brown: null, brown: null, none: null },
    leafSpots: { lookedAt: null, with: null },
    diseases: [],
    note: '',
    withdrawnBecause: null,
  };
}

export function draftOfInspection(x: Inspection): InspectionDraft {
  return {
    id: x.id,
    lotId: x.lot_id,
    kind: x.kind,
    inspectedAt: x.inspected_at,
    inspectorId: x.inspector_id ?? null,
    lens: x.lens_power ?? 'none',
    asked: {
      detection: x.detection_percent ?? usualAsked.detection,
      confidence: x.confidence_percent ?? usualAsked.confidence,
      sensitivity: x.sensitivity_percent ?? usualAsked.sensitivity,
    },
    findings: x.findings.map((finding) => ({
      organismId: finding.organism_id,
      lookedAt: finding.plants_looked_at,
      infested: finding.infested_plants,
      signs: (finding.signs ?? []).map(({ stage, state, colour, plants }) => ({
        key: rowKey(),
        stage,
        state: state ?? 'alive',
        colour: colour ?? '',
        plants,
      })),
      taps: [],
    })),
    condition: {
      sound: x.condition?.sound ?? null,
      slightly_damaged: x.condition?.slightly_damaged ?? null,
      badly_damaged: x.condition?.badly_damaged ?? null,
      unusable: x.condition?.unusable ?? null,
    },
    roots: {
      white: x.roots?.white ?? null,
      partly_brown: x.roots?.partly_brown ?? null,
      brown: x.roots?.brown ?? null,
      none: x.roots?.none ?? null,
    },
    leafSpots: { lookedAt: x.leaf_spots?.plants_looked_at ?? null, with: x.leaf_spots?.plants_with ?? null },
    diseases: (x.other_diseases ?? []).map((disease) => ({
      key: rowKey(),
      name: disease.name,
      lookedAt: disease.plants_looked_at,
      with: disease.plants_with,
    })),
    note: x.note ?? '',
    withdrawnBecause: x.withdrawn_because ?? null,
  };
}

/** Plants looked at for a finding: its own count, else that of the first. */
export function lookedAtOf(draft: InspectionDraft, at: number): number {
  return draft.findings[at]?.lookedAt ?? draft.findings[0]?.lookedAt ?? 0;
}

/** One more plant, or several: `seen` says whether the pest was on it. */
export function tapped(finding: FindingDraft, seen: boolean, plants = 1): FindingDraft {
  const { lookedAt, infested, taps } = finding;
  return {
    ...finding,
    lookedAt: (lookedAt ?? 0) + plants,
    infested: infested + (seen ? plants : 0),
    taps: [...taps, { lookedAt, infested }],
  };
}

/** Takes the last tap back. */
export function untapped(finding: FindingDraft): FindingDraft {
  const before = finding.taps.at(-1);
  return before ? { ...finding, ...before, taps: finding.taps.slice(0, -1) } : finding;
}

const isBlankSign = (sign: SignDraft): boolean => sign.plants === null || sign.plants === 0;
export const isBlankDisease = (disease: DiseaseDraft): boolean => disease.name.trim() === '';

/** Sets on how many plants a living stage was seen. */
export function withStage(finding: FindingDraft, stage: Stage, plants: number | null): FindingDraft {
  const isIt = (sign: SignDraft): boolean => sign.stage === stage && sign.state === 'alive' && sign.colour === '';
  const signs = finding.signs.some(isIt)
    ? finding.signs.map((sign) => (isIt(sign) ? { ...sign, plants } : sign))
    : [...finding.signs, { key: rowKey(), stage, state: 'alive' as const, colour: '', plants }];
  return { ...finding, signs };
}

/** On how many plants a living stage was seen; null when nothing was noted. */
export function plantsWithStage(finding: FindingDraft, stage: Stage): number | null {
  return finding.signs.find((sign) => sign.stage === stage && sign.state === 'alive' && sign.colour === '')?.plants ?? null;
}

/** Signs other than plain living stages: parasitised, host-fed, dried, or with a colour. */
export function otherSigns(finding: FindingDraft): SignDraft[] {
  return finding.signs.filter((sign) => sign.state !== 'alive' || sign.colour !== '');
}

function classesOf<K extends string>(classes: Classes<K>): Partial<Record<K, number>> | null {
  const noted = Object.entries<number | null>(classes).filter((entry): entry is [string, number] => entry[1] !== null);
  return noted.length === 0 ? null : (Object.fromEntries(noted) as Partial<Record<K, number>>);
}

/** Plants in all classes together. */
export function totalOf(classes: Record<string, number | null>): number {
  return Object.values(classes).reduce<number>((sum, plants) => sum + (plants ?? 0), 0);
}

/** The pointers of what must be filled in and is not. */
export function missingInInspection(draft: InspectionDraft): string[] {
  return draft.findings.flatMap((_finding, i) => (lookedAtOf(draft, i) === 0 ? [`/findings/${i}/plants_looked_at`] : []));
}

/** What is sent. `now` is the moment when none was typed; `rooted` says whether roots can be judged. */
export function inspectionBodyOf(draft: InspectionDraft, now: string, rooted: boolean): InspectionBody {
  const looked = lookedAtOf(draft, 0);
  const condition = classesOf(draft.condition);
  const roots = rooted ? classesOf(draft.roots) : null;
  const { leafSpots } = draft;
  const diseases = draft.diseases.filter((disease) => !isBlankDisease(disease));
  return {
    lot_id: draft.lotId,
    kind: draft.kind,
    inspected_at: draft.inspectedAt ?? now,
    ...(draft.inspectorId !== null && { inspector_id: draft.inspectorId }),
    ...(typeof draft.lens === 'number' && { lens_power: draft.lens }),
    detection_percent: draft.asked.detection,
    confidence_percent: draft.asked.confidence,
    sensitivity_percent: draft.asked.sensitivity,
    findings: draft.findings.map((finding, i) => ({
      organism_id: finding.organismId,
      plants_looked_at: lookedAtOf(draft, i),
      infested_plants: finding.infested,
      signs: finding.signs
        .filter((sign) => !isBlankSign(sign))
        .map(({ stage, state, colour, plants }) => ({
          stage,
          state,
          ...(colour.trim() !== '' && { colour: colour.trim() }),
          plants: plants ?? 0,
        })),
    })),
    ...(condition && { condition }),
    ...(roots && { roots }),
    ...((leafSpots.lookedAt !== null || leafSpots.with !== null) && {
      leaf_spots: { plants_looked_at: leafSpots.lookedAt ?? looked, plants_with: leafSpots.with ?? 0 },
    }),
    ...(diseases.length > 0 && {
      other_diseases: diseases.map((disease) => ({
        name: disease.name.trim(),
        plants_looked_at: disease.lookedAt ?? looked,
        plants_with: disease.with ?? 0,
      })),
    }),
    ...(draft.note.trim() !== '' && { note: draft.note.trim() }),
    ...(draft.withdrawnBecause !== null && { withdrawn_because: draft.withdrawnBecause }),
  };
}

/** The JSON Pointer of a sign as it will be sent; undefined for one that is not sent. */
export function signPointer(finding: FindingDraft, at: number, sign: SignDraft): string | undefined {
  const index = finding.signs.filter((each) => !isBlankSign(each)).indexOf(sign);
  return index < 0 ? undefined : `/findings/${at}/signs/${index}/plants`;
}
