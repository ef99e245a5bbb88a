import { sankey, sankeyLinkHorizontal } from 'd3-sankey';

import type { Flow, FlowLink, FlowNode } from './graph';

/** A node with its place, in pixels. */
export interface LaidNode extends FlowNode {
  x: number;
  y: number;
  width: number;
  height: number;
  plants: number;
  /** In the last column: its plants are here and go no further. */
  last: boolean;
}

/** A link with its course. */
export interface LaidLink extends FlowLink {
  path: string;
  width: number;
}

export interface Layout {
  nodes: LaidNode[];
  links: LaidLink[];
  width: number;
  height: number;
}

const nodeWidth = 12;
/** A line of a label, and the air round it. */
const labelHeight = 19;
/** Room for the names right of the last column. */
export const labelRoom = 264;
/** The least room from column to column. */
const columnRoom = 215;
const flowHeight = 260;
const edge = 8;

/** Where everything lies, at least as wide as given; null when there is nothing to draw. */
export function layOut(flow: Flow, wanted: number): Layout | null {
  if (flow.links.length === 0) return null;
  const place = (width: number, height: number) =>
    sankey<FlowNode, FlowLink>()
      .nodeId(({ key }) => key)
      .nodeAlign((node, columns) => ((node.sourceLinks ?? []).length > 0 ? (node.depth ?? 0) : columns - 1))
      .nodeWidth(nodeWidth)
      .nodePadding(labelHeight)
      .iterations(24)
      .extent([
        [edge, edge],
        [width - labelRoom, height - edge],
      ])({ nodes: flow.nodes.map((node) => ({ ...node })), links: flow.links.map((link) => ({ ...link, source: link.from, target: link.to, value: link.plants })) });
  // Laid out once to know the columns, and again with the room they need.
  const columns = new Map<number, number>();
  for (const { x0 = 0 } of place(1000, 1000).nodes) columns.set(x0, (columns.get(x0) ?? 0) + 1);
  const width = Math.max(wanted, (columns.size - 1) * columnRoom + labelRoom + nodeWidth + edge);
  const height = Math.max(...columns.values()) * labelHeight + flowHeight;
  const laid = place(width, height);
  const right = Math.max(...laid.nodes.map(({ x0 = 0 }) => x0));
  const draw = sankeyLinkHorizontal<FlowNode, FlowLink>();
  return {
    width,
    height,
    nodes: laid.nodes.map((node) => {
      const { x0 = 0, x1 = 0, y0 = 0, y1 = 0, value = 0 } = node;
      const { key, kind, id, records, held, certain, births } = node;
      return { key, kind, id, records, held, certain, births, x: x0, y: y0, width: x1 - x0, height: Math.max(1.5, y1 - y0), plants: value, last: x0 === right };
    }),
    links: laid.links.map((link) => ({ from: link.from, to: link.to, plants: link.plants, path: draw(link) ?? '', width: Math.max(1, link.width ?? 0) })),
  };
}
