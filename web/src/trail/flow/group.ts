import { tidied, type Flow, type FlowNode, type NodeKind } from './graph';

/** So many lots stay readable one above the other. */
export const mostLots = 40;
/** And so many shipments, places and customers. */
export const mostOthers = 14;

function plantsOf({ links }: Flow): Map<string, number> {
  const into = new Map<string, number>();
  const out = new Map<string, number>();
  for (const { from, to, plants } of links) {
    out.set(from, (out.get(from) ?? 0) + plants);
    into.set(to, (into.get(to) ?? 0) + plants);
  }
  return new Map([...into.keys(), ...out.keys()].map((key) => [key, Math.max(into.get(key) ?? 0, out.get(key) ?? 0)]));
}

/** Puts nodes together as `groupOf` says (null: it stays by itself). */
function together(flow: Flow, groupOf: (node: FlowNode) => { key: string; kind: NodeKind; id: string } | null): Flow {
  const nodes = new Map<string, FlowNode>();
  const keys = new Map<string, string>();
  for (const node of flow.nodes) {
    const group = groupOf(node) ?? node;
    keys.set(node.key, group.key);
    const before = nodes.get(group.key);
    if (before) {
      nodes.set(group.key, { ...before, records: before.records + node.records, held: before.held + node.held, certain: before.certain && node.certain });
    } else {
      nodes.set(group.key, { ...node, key: group.key, kind: group.kind, id: group.id });
    }
  }
  const links = flow.links.map(({ from, to, plants }) => ({ from: keys.get(from) ?? from, to: keys.get(to) ?? to, plants }));
  return tidied({ nodes: [...nodes.values()], links });
}

/** Leaves the `most` largest of a kind by themselves (held lots before all others) and puts the rest together, by their births. */
function smallTogether(flow: Flow, kind: NodeKind, most: number): Flow {
  const ofKind = flow.nodes.filter((node) => node.kind === kind);
  if (ofKind.length <= most) return flow;
  const plants = plantsOf(flow);
  const size = (node: FlowNode): number => plants.get(node.key) ?? 0;
  const shown = ofKind.toSorted((a, b) => b.held - a.held || size(b) - size(a) || a.key.localeCompare(b.key)).slice(0, most);
  const stay = new Set(shown.map(({ key }) => key));
  // By births, so that no plants flow from a group into itself or round in a circle.
  return together(flow, (node) => (node.kind !== kind || stay.has(node.key) ? null : { key: `${kind} more ${node.births}`, kind, id: '' }));
}

/** A flow with as many nodes as can be read: blocks become houses where there are many, the smallest of the others "and so many more". */
export function grouped(flow: Flow, houseOf: (blockId: string) => string): Flow {
  const blocks = flow.nodes.filter(({ kind }) => kind === 'block').length;
  const housed =
    blocks <= mostOthers
      ? flow
      : together(flow, ({ kind, id }) => (kind === 'block' ? { key: `house ${houseOf(id)}`, kind: 'house', id: houseOf(id) } : null));
  return (['shipment', 'customer', 'house'] as const).reduce((sum, kind) => smallTogether(sum, kind, mostOthers), smallTogether(housed, 'lot', mostLots));
}
