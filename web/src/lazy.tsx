import { signal, type Signal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';

import { Button, Busy, Notice } from './parts';
import { pageWordsReady, words, type PageName } from './words';

/** A page whose code and words are fetched when it is first opened. */
export function lazy(page: PageName, fetchIt: () => Promise<{ default: ComponentType }>): ComponentType {
  const loaded: Signal<ComponentType | 'failed' | null> = signal(null);
  return function Lazy() {
    useEffect(() => {
      if (loaded.value !== null && loaded.value !== 'failed') return;
      Promise.all([fetchIt(), pageWordsReady(page)]).then(
        ([module]) => (loaded.value = module.default),
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
