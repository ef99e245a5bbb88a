import type { LotLife, MovementKind } from '../../../contract.gen';
import { inForce } from '../life/sentence';
import type { Standing } from '../movement';

/** What can be done from a lot's page. */
export type Action = MovementKind | 'hold' | 'lift';

/**
 * The actions that make sense for a lot as it stands, in the order of its life. What does not
 * apply is left out rather than greyed: twelve buttons are many on a phone.
 */
export function actionsFor(life: LotLife, standing: Standing, arrival: boolean, received: boolean): Action[] {
  const placed = standing.blocks.length > 0;
  const here = placed || standing.unplaced > 0;
  const ended = life.state === 'not_born' || life.state === 'gone';
  const offered: [Action, boolean][] = [
    ['receive', arrival && !received],
    ['stick', standing.unplaced > 0],
    ['root', placed && (life.state === 'stuck' || life.state === 'rooted')],
    ['pot', here],
    ['pinch', placed],
    ['space', placed],
    ['move', placed],
    ['split', here],
    ['merge', here],
    ['count', here],
    ['discard', here],
    ['dispatch', here],
    ['hold', here || life.state === 'expected'],
    ['lift', inForce(life).length > 0],
  ];
  return offered.filter(([action, possible]) => possible && !(ended && action !== 'lift')).map(([action]) => action);
}
