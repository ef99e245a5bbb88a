import type { ComponentChildren } from 'preact';

import { Facts } from '../../parts';

/** Facts that keep room for their values on a phone. */
export function ArrivalFacts({ items }: { items: readonly { term: string; value: ComponentChildren }[] }) {
  return (
    <div class="dock-facts">
      <Facts items={items} />
    </div>
  );
}
