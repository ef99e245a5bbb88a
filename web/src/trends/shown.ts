import type { TrendBy, Trends } from '../contract.gen';
import type { Load } from '../parts';

/** Trends with the question they answer. */
interface Answered {
  asked: string;
  trends: Trends;
}

type Loading = Pick<Load<Answered>, 'data' | 'problem'>;

/** Whether what was loaded answers another question, and nothing has gone wrong since: the answer is on its way. */
export function isOfAnother({ data, problem }: Loading, asked: string): boolean {
  return data !== undefined && data.asked !== asked && !problem;
}

/**
 * The trends to show. Those of another question stay, dimmed, until the answer is there; beside a
 * problem they would be taken for the answer. Those of another grouping are not shown at all.
 */
export function shownOf({ data, problem }: Loading, asked: string, by: TrendBy): Trends | undefined {
  if (data?.trends.by !== by) return undefined;
  return problem && data.asked !== asked ? undefined : data.trends;
}
