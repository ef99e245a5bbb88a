import type { Organism, Sign, Stage } from '../contract.gen';

/** What the rule reads of a sign. */
export type SignRead = Pick<Sign, 'stage' | 'state'>;

/** Whether a sign is a living stage. A state that was not noted is read as alive; a shell is never alive. */
export function living({ stage, state }: SignRead): boolean {
  return stage !== 'empty_case' && (state === undefined || state === 'alive');
}

/**
 * The written rule for one plant, the same as the server's: it was seen to carry the
 * organism and, when its signs were noted, at least one is a living stage among those
 * that count. Where the organism names no stages, any living one counts (common practice).
 */
export function infested(seen: boolean, signs: readonly SignRead[], stagesThatCount: readonly string[]): boolean {
  if (!seen) return false;
  if (signs.length === 0) return true;
  return signs.some((sign) => living(sign) && (stagesThatCount.length === 0 || stagesThatCount.includes(sign.stage)));
}

/** Why a plant on which something was seen does not count as infested. */
type NotCounted = 'empty_case' | 'parasitised' | 'dead' | 'stage' | 'mixed';

/** The reason in one word, or null when the plant counts or nothing was noted. */
export function whyNotCounted(signs: readonly SignRead[], stagesThatCount: readonly string[]): NotCounted | null {
  if (signs.length === 0 || infested(true, signs, stagesThatCount)) return null;
  const [first, ...rest] = new Set(
    signs.map(({ stage, state }): NotCounted => {
      if (stage === 'empty_case') return 'empty_case';
      if (state === 'parasitised') return 'parasitised';
      return living({ stage, ...(state && { state }) }) ? 'stage' : 'dead';
    }),
  );
  return first !== undefined && rest.length === 0 ? first : 'mixed';
}

const order: readonly Stage[] = ['egg', 'small_nymph', 'large_nymph', 'pupa', 'empty_case', 'adult'];

/** The stages that can be noted for an organism, in the order of its life; none for a disease. */
export function stagesToNote(organism: Organism | undefined): readonly Stage[] {
  if (!organism || (organism.kind !== 'insect' && organism.kind !== 'mite')) return [];
  const named: readonly string[] = organism.infested_stages;
  const pupates = named.length === 0 || named.includes('pupa');
  return order.filter((stage) => pupates || (stage !== 'pupa' && stage !== 'empty_case'));
}
