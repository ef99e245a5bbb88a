import { signal, type Signal } from '@preact/signals';
import type { ComponentType } from 'preact';
import { useEffect } from 'preact/hooks';

import { Button, Busy, Notice } from './parts';
import { pageWordsReady, words, type PageName } from './words';

/** A page, or a part of several, whose code and words are fetched when it is first opened. */
export function lazy<Props extends object = object>(page: PageName, fetchIt: () => Promise<{ default: ComponentType<Props> }>): ComponentType<Props> {
  const loaded: Signal<ComponentType<Props> | 'failed' | null> = signal(null);
  return function Lazy(props: Props) {
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
    if (Ready !== 'failed') return <Ready {...props} />;
    return (
      <Notice kind="problem" title={common.brokenTitle}>
        <p>{common.broken}</p>
        <Button onClick={() => location.reload()}>{common.reload}</Button>
      </Notice>
    );
  };
}
