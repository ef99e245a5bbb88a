import { withQuery } from '../../router';
import { readsOnly } from '../../session';

/** Where a lot is inspected; for who only reads, the lot itself. */
export function inspectAddress(lotId: string, kind?: 'second_look'): string {
  return readsOnly() ? `/dock/lots/${lotId}` : withQuery(`/dock/lots/${lotId}/inspect`, { kind });
}
