import type { Lot, SecondLook, Shipment } from '../../contract.gen';

/** The shipments of a site by what is to be done about them. */
export interface DockView {
  /** Arrived, with lots nobody inspected or with none written down; the claim that ends first comes first. */
  waiting: Shipment[];
  /** Every lot inspected, and the claim time still runs. */
  running: Shipment[];
  /** Not here yet, by the day they are expected. */
  expected: Shipment[];
  /** Nothing left to do, latest first. */
  settled: Shipment[];
}

const ends = (shipment: Shipment): number => Date.parse(shipment.claim_closes_at ?? '') || Infinity;
const docked = (shipment: Shipment): number => Date.parse(shipment.docked_at ?? '') || 0;

/** Whether a claim can still be sent. */
export function claimRuns(shipment: Shipment, now: Date): boolean {
  return typeof shipment.claim_closes_at === 'string' && ends(shipment) > now.getTime();
}

/** Puts the shipments in the order a receiver needs them. Withdrawn ones are left out. */
export function orderDock(shipments: readonly Shipment[], now: Date): DockView {
  const standing = shipments.filter((shipment) => !shipment.withdrawn_because);
  const arrived = standing.filter((shipment) => shipment.docked_at);
  const isWaiting = (shipment: Shipment): boolean => shipment.lots === 0 || shipment.lots_inspected < shipment.lots;
  const urgency = (a: Shipment, b: Shipment): number => {
    const [aRuns, bRuns] = [claimRuns(a, now), claimRuns(b, now)];
    if (aRuns !== bRuns) return aRuns ? -1 : 1;
    return aRuns ? ends(a) - ends(b) : docked(b) - docked(a);
  };
  return {
    waiting: arrived.filter(isWaiting).toSorted(urgency),
    running: arrived.filter((shipment) => !isWaiting(shipment) && claimRuns(shipment, now)).toSorted(urgency),
    expected: standing
      .filter((shipment) => !shipment.docked_at)
      .toSorted((a, b) => a.expected_on.localeCompare(b.expected_on) || a.id.localeCompare(b.id)),
    settled: arrived.filter((shipment) => !isWaiting(shipment) && !claimRuns(shipment, now)).toSorted((a, b) => docked(b) - docked(a)),
  };
}

/** The shipments whose lots the first page shows one by one: those at work, and those of the last two weeks. */
export function shipmentsAtWork({ waiting, running, settled }: DockView, now: Date): Shipment[] {
  const twoWeeksAgo = now.getTime() - 14 * 24 * 3_600_000;
  return [...waiting, ...running, ...settled.filter((shipment) => docked(shipment) > twoWeeksAgo)];
}

/** Lots of arrived shipments that nobody inspected, in the order of their codes. */
export function lotsToInspect(lots: readonly Lot[], shipmentId: string | null | undefined): Lot[] {
  return lots
    .filter((lot) => lot.shipment_id === shipmentId && typeof shipmentId === 'string' && !lot.inspected && !lot.withdrawn_because)
    .toSorted((a, b) => (a.code ?? '').localeCompare(b.code ?? ''));
}

/** Lots that were inspected and that nobody decided about. */
export function lotsUndecided(lots: readonly Lot[]): Lot[] {
  return lots.filter((lot) => lot.inspected && !lot.verdict && !lot.withdrawn_because);
}

/** What the sentence at the top is made of. */
export interface DockAnswer {
  lotsWaiting: number;
  withoutLots: number;
  undecided: number;
  due: number;
  late: number;
  /** The claim that ends first among the shipments that still need inspecting, else among all. */
  claim: Shipment | null;
  next: Shipment | null;
}

export function answerOf(view: DockView, lots: readonly Lot[], looks: readonly SecondLook[], now: Date): DockAnswer {
  const open = [...view.waiting, ...view.running].filter((shipment) => claimRuns(shipment, now));
  return {
    lotsWaiting: view.waiting.reduce((sum, shipment) => sum + shipment.lots - shipment.lots_inspected, 0),
    withoutLots: view.waiting.filter((shipment) => shipment.lots === 0).length,
    undecided: lotsUndecided(lots).length,
    due: looks.filter((look) => look.state === 'due').length,
    late: looks.filter((look) => look.state === 'late').length,
    claim: open[0] ?? null,
    next: view.expected[0] ?? null,
  };
}
