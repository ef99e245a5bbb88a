import { signal, type Signal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';

import { Button, Busy, Notice } from './parts';
import { words } from './words';

/** A page whose code is fetched when it is first opened. */
export function lazy(fetchIt: () => Promise<{ default: ComponentType }>): ComponentType {
  const loaded: Signal<ComponentType | 'failed' | null> = signal(null);
  return function Lazy() {
    useEffect(() => {
      if (loaded.value !== null && loaded.value !== 'failed') return;
      fetchIt().then(
        (module) => (loaded.value = module.default),
        () => (loaded.value = 'failed'),
      );
    }, []);
    const { common } = words.value;
    const Ready = loaded.value;
    if (Ready === null) return <Busy />;
    if (Ready !== 'failed') return <Ready />;
    return (
      <Notice kind="problem" title={common.brokenTitle}>
        <p>{common.broken}</p>
        <Button onClick={() => location.reload()}>{common.reload}</Button>
      </Notice>
    );
  };
}
