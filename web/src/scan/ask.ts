import { fetchOne } from '../api';
import { toProblem } from '../problem';
import { lotPlace, type Named, type Outcome, type Where } from './find';

/** Asks the server for what this phone does not hold: plants long gone, or another site's. Without an answer it stays unknown. */
export async function askServer(meaning: Named, siteId: string, where: Pick<Where, 'from' | 'arrived'>, signal: AbortSignal): Promise<Outcome> {
  if (meaning.kind === 'item') return { kind: 'unknown', meaning, checked: false }; // the server looks nothing up by code
  try {
    if (meaning.kind === 'block') {
      const block = await fetchOne('blocks', meaning.id, signal);
      const place = { name: block.name, within: '', address: `/walk/blocks/${block.id}` };
      return block.site_id === siteId ? { kind: 'found', place } : { kind: 'elsewhere', place, siteId: block.site_id };
    }
    const lot = await fetchOne('lots', meaning.id, signal);
    const cultivar = await fetchOne('cultivars', lot.cultivar_id, signal);
    const place = lotPlace(lot, cultivar.name, where);
    if (lot.site_id !== siteId) return { kind: 'elsewhere', place, siteId: lot.site_id };
    return { kind: where.from === 'dock' ? 'found' : 'nowhere', place };
  } catch (thrown) {
    return { kind: 'unknown', meaning, checked: toProblem(thrown).status === 404 };
  }
}
