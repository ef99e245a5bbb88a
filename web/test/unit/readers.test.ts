import { afterEach, describe, expect, it } from 'vitest';

import type { Session, SiteRole } from '../../src/contract.gen';
import { inspectAddress } from '../../src/dock/shared/inspect-address';
import { canRecord, readsOnly, session } from '../../src/session';

function signedIn(...roles: SiteRole[]): void {
  const who: Session = {
    person: { id: 'p', name: 'Class', email: 'class@people.test', language: 'en' },
    organisation: { id: 'o', name: 'Nursery' },
    roles,
    now: '2026-09-14T08:00:00Z',
    demo: false, letters: false,
  };
  session.value = who;
}

afterEach(() => {
  session.value = null;
});

describe('an account that only reads', () => {
  it('has the role of a reader and no other, wherever that is', () => {
    expect(readsOnly()).toBe(false);
    signedIn({ role: 'reader', site_id: 'a' }, { role: 'reader', site_id: 'b' });
    expect(readsOnly()).toBe(true);
    signedIn({ role: 'reader', site_id: 'a' }, { role: 'grower', site_id: 'b' });
    expect(readsOnly()).toBe(false);
    expect(canRecord('a')).toBe(false);
    expect(canRecord('b')).toBe(true);
  });

  it('is led to a lot where others inspect it', () => {
    signedIn({ role: 'receiver', site_id: 'a' });
    expect(inspectAddress('7')).toBe('/dock/lots/7/inspect');
    expect(inspectAddress('7', 'second_look')).toBe('/dock/lots/7/inspect?kind=second_look');
    signedIn({ role: 'reader', site_id: 'a' });
    expect(inspectAddress('7', 'second_look')).toBe('/dock/lots/7');
  });
});
