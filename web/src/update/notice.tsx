import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';

import './notice.css';

import { Button } from '../parts/button';
import { useRoute } from '../router';
import { words } from '../words';
import { applyUpdate, update, updateReady } from './client';

/**
 * Says that a new version is ready. It stands above the page and covers nothing. It comes when another page is opened
 * or when nobody looks, never while a finger is on its way to a button that it would move.
 */
export function UpdateNotice() {
  const { path } = useRoute();
  const shown = useSignal(false);
  const show = (): void => {
    shown.value = updateReady.peek();
  };
  useEffect(show, [path]);
  useEffect(() => {
    const hidden = (): void => {
      if (document.hidden) show();
    };
    document.addEventListener('visibilitychange', hidden);
    return () => document.removeEventListener('visibilitychange', hidden);
  }, []);
  const { common } = words.value;
  const state = update.value;
  const visible = (shown.value && state !== 'none') || state === 'held';
  return (
    <div class="update" role="status">
      {visible && (
        <div class="update-line">
          <p>{state === 'held' ? common.updateHeld : common.updateReady}</p>
          <Button kind="strong" busy={state === 'applying'} onClick={applyUpdate}>
            {common.updateNow}
          </Button>
          {state === 'ready' && (
            <Button kind="quiet" onClick={() => (shown.value = false)}>
              {common.updateLater}
            </Button>
          )}
        </div>
      )}
    </div>
  );
}
