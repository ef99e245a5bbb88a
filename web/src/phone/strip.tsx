import { computed } from '@preact/signals';

import { reached } from '../api';
import { begunCount } from '../local/begun';
import { outdated } from '../local/db';
import { held, refused, refusedPictures, sending, waits as waiting } from '../local/sending';
import { Link } from '../router';
import { access, session } from '../session';
import { words } from '../words';

/** What the strip says, and whether a person should act on it. */
function said(): { text: string; urgent: boolean } {
  const { phone } = words.value.common;
  const waits = waiting.value;
  const notTaken = refused.value.length + refusedPictures.value.length;
  if (outdated.value) return { text: phone.outdated, urgent: true };
  if (access.value === 'expired') return { text: phone.signedOut(waits), urgent: true };
  if (notTaken > 0) return { text: phone.refused(notTaken), urgent: true };
  if (!reached.value && waits === 0) return { text: unfinished.value > 0 ? phone.noNetworkOnly : phone.noNetwork, urgent: false };
  if (!reached.value) return { text: phone.waitsOffline(waits), urgent: false };
  if (waits === 0) return { text: phone.allSent, urgent: false };
  return { text: sending.value && held.value === null ? phone.sending(waits) : phone.waits(waits), urgent: false };
}

/** How many looks and forms this person has begun: no tap of theirs is with the server. Counted apart, so that a tap draws the strip anew only when it changes. */
const unfinished = computed(() => begunCount({ person: session.value?.person.id ?? '' }));

/** How much is only on this phone, at all times and in one place. Always as high as ever, so that nothing moves under a thumb. */
export function Strip() {
  const { text, urgent } = said();
  return (
    <div class={`phone-strip${urgent ? ' phone-strip-urgent' : ''}`}>
      <p role="status">
        <Link to="/phone">
          <span>{text}</span>
        </Link>
      </p>
      {unfinished.value > 0 && <p class="phone-unfinished">&nbsp;· {words.value.common.phone.unfinished(unfinished.value)}</p>}
    </div>
  );
}
