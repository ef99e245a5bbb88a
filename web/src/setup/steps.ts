/** What has to be there before the work can begin, in the order in which one thing hangs on another. */
export const steps = ['site', 'house', 'block', 'supplier', 'crop', 'cultivar', 'season', 'limit'] as const;

export type Step = (typeof steps)[number];

/** The first step that is not done; null when all are. */
export function nextStep(done: Readonly<Record<Step, boolean>>): Step | null {
  return steps.find((step) => !done[step]) ?? null;
}
