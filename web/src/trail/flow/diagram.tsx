import { useMemo, useRef } from 'preact/hooks';

import type { Trail } from '../../contract.gen';
import { useWidth } from '../../marks';
import { format, words } from '../../words';
import { houseOf, type Names } from '../names';
import { flowOf, type NodeKind } from './graph';
import { grouped } from './group';
import { nodeMarks, nodeName, shortened } from './labels';
import { layOut, type LaidNode, type Layout } from './layout';

interface DiagramProps {
  trail: Trail;
  names: Names;
  /** The answer, for those who cannot see the picture. */
  answer: string;
}

/** How plants that end in a node are drawn. */
const endings: Partial<Record<NodeKind, string>> = { customer: 'left', discarded: 'gone', missing: 'gone', elsewhere: 'gone' };

function Hatch({ id }: { id: string }) {
  return (
    <pattern id={id} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <line class="flow-hatch" x1="0" x2="0" y1="0" y2="6" />
    </pattern>
  );
}

function Label({ node, name, marks }: { node: LaidNode; name: string; marks: string }) {
  const plants = format.value.count(node.plants);
  return (
    <text class="flow-label" x={node.x + node.width + 5} y={node.y + node.height / 2} dy="0.34em">
      <tspan class="flow-name">{shortened(name, marks === '' ? undefined : 18)}</tspan>
      {` · ${plants}`}
      {marks !== '' && <tspan class="flow-marks"> · {marks}</tspan>}
    </text>
  );
}

function Picture({ layout: { nodes, links, width, height }, trail, names, label }: { layout: Layout; trail: Trail; names: Names; label: string }) {
  const { diagram: say } = words.value.trail;
  const speech = { words: words.value, format: format.value };
  const shown = new Map(nodes.map((node) => [node.key, { node, name: nodeName(node, trail, names, speech), marks: nodeMarks(node, speech) }]));
  return (
    <svg class="flow" width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      <defs>
        <Hatch id="flow-held" />
      </defs>
      {links.map(({ from, to, plants, path, width: wide }) => {
        const source = shown.get(from);
        const target = shown.get(to);
        const ending = endings[target?.node.kind ?? 'lot'] ?? 'here';
        return (
          <g key={`${from} ${to}`} class={`flow-link flow-${ending}`}>
            <path d={path} stroke-width={wide}>
              <title>{say.link(source?.name ?? '', target?.name ?? '', words.value.common.plants(plants))}</title>
            </path>
            {(source?.node.held ?? 0) > 0 && <path d={path} stroke-width={wide} stroke="url(#flow-held)" class="flow-over" />}
          </g>
        );
      })}
      {[...shown.values()].map(({ node, name, marks }) => (
        <g key={node.key}>
          <rect class={node.certain ? 'flow-node' : 'flow-node flow-uncertain'} x={node.x} y={node.y} width={node.width} height={node.height}>
            <title>{`${name}: ${words.value.common.plants(node.plants)}${marks === '' ? '' : `, ${marks}`}`}</title>
          </rect>
        </g>
      ))}
      {[...shown.values()].map(({ node, name, marks }) => (
        <Label key={node.key} node={node} name={name} marks={marks} />
      ))}
    </svg>
  );
}

/** The flow of plants as a picture, as wide as there are plants. The table of the lots says the same. */
export function Diagram({ trail, names, answer }: DiagramProps) {
  const { diagram: say } = words.value.trail;
  const place = useRef<HTMLDivElement>(null);
  const width = useWidth(place);
  const flow = useMemo(() => grouped(flowOf(trail), (id) => houseOf(names, id)), [trail, names]);
  const layout = useMemo(() => layOut(flow, width), [flow, width]);
  const held = flow.nodes.some((node) => node.held > 0);
  const uncertain = flow.nodes.some((node) => !node.certain);
  return (
    <div class="flow-place">
      <div class="flow-scroll" ref={place} role="region" aria-label={say.region} tabIndex={0}>
        {layout && <Picture layout={layout} trail={trail} names={names} label={say.label(answer)} />}
      </div>
      <ul class="legend" aria-hidden="true">
        <li>{say.legend.width}</li>
        {held && (
          <li>
            <svg viewBox="0 0 24 14" width="24" height="14">
              <defs>
                <Hatch id="flow-held-key" />
              </defs>
              <rect class="flow-key" width="24" height="14" />
              <rect width="24" height="14" fill="url(#flow-held-key)" />
            </svg>
            {say.legend.held}
          </li>
        )}
        {uncertain && (
          <li>
            <svg viewBox="0 0 14 14" width="14" height="14">
              <rect class="flow-node flow-uncertain" x="1" y="1" width="12" height="12" />
            </svg>
            {say.legend.uncertain}
          </li>
        )}
      </ul>
      {trail.way === 'back' && <p class="quiet">{say.backNote}</p>}
    </div>
  );
}
