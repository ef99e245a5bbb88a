import type {
  Inspection,
  InspectionBody,
  Lot,
  LotBody,
  Movement,
  MovementBody,
  Shipment,
  ShipmentBody,
  Verdict,
  VerdictBody,
} from '../../contract.gen';

/** Without the members that hold nothing: left out and empty mean the same. */
function held<T extends object>(body: T): T {
  return Object.fromEntries(Object.entries(body).filter(([, value]) => value !== null && value !== undefined && value !== '')) as T;
}

/** What is sent to store the shipment as it stands. */
export function shipmentBody(x: Shipment): ShipmentBody {
  const { site_id, supplier_id, expected_on, left_at, landed_at, docked_at, opened_at, papers, order_lines, boxes, note, withdrawn_because } = x;
  return held({
    site_id,
    supplier_id,
    expected_on,
    left_at,
    landed_at,
    docked_at,
    opened_at,
    papers,
    order_lines,
    boxes,
    note,
    withdrawn_because,
  });
}

/** What is sent to store the lot as it stands, under the code it has. */
export function lotBody(x: Lot): LotBody {
  const { shipment_id, cultivar_id, farm_ids, farm_known_by, supplier_lot_code, rooting_station, form, plants, code, note, withdrawn_because } = x;
  return held({
    shipment_id,
    cultivar_id,
    farm_ids,
    farm_known_by,
    supplier_lot_code,
    rooting_station,
    form,
    plants,
    code,
    note,
    withdrawn_because,
  });
}

/** What is sent to store the movement as it stands. */
export function movementBody(x: Movement): MovementBody {
  const { lot_id, kind, moved_at, plants, from_block_id, to_block_id, parts, rooted, customer_id, paper_number, code, although_held, reason, note } = x;
  return held({
    lot_id,
    kind,
    moved_at,
    plants,
    from_block_id,
    to_block_id,
    ...(parts && parts.length > 0 && { parts: parts.map(held) }),
    rooted,
    customer_id,
    paper_number,
    code,
    ...(although_held && { although_held }),
    reason,
    note,
    withdrawn_because: x.withdrawn_because,
  });
}

/** What is sent to store the inspection as it stands. */
export function inspectionBody(x: Inspection): InspectionBody {
  const { lot_id, kind, inspected_at, inspector_id, lens_power, detection_percent, confidence_percent, sensitivity_percent, findings } = x;
  const { roots, condition, leaf_spots, other_diseases, note, withdrawn_because } = x;
  return held({
    lot_id,
    kind,
    inspected_at,
    inspector_id,
    lens_power,
    detection_percent,
    confidence_percent,
    sensitivity_percent,
    findings,
    roots,
    condition,
    leaf_spots,
    other_diseases,
    note,
    withdrawn_because,
  });
}

/** What is sent to store the verdict as it stands. */
export function verdictBody(x: Verdict): VerdictBody {
  const { inspection_id, decision, plants, because, withdrawn_because } = x;
  return held({ inspection_id, decision, plants, because, withdrawn_because });
}
