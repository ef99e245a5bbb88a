/** What other tabs of these pages are told: which of the phone's stores changed. */
export type Changed = 'begun' | 'outbox' | 'pictures' | 'who';

const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('benchtrail');

const listeners = new Map<Changed, Set<() => void>>();

channel?.addEventListener('message', ({ data }: MessageEvent<unknown>) => {
  for (const act of listeners.get(data as Changed) ?? []) act();
});

/** Tells the other tabs that something changed on this phone. */
export function tellTabs(changed: Changed): void {
  channel?.postMessage(changed);
}

/** Acts when another tab changed something. */
export function onOtherTab(changed: Changed, act: () => void): void {
  const those = listeners.get(changed) ?? new Set();
  listeners.set(changed, those.add(act));
}
