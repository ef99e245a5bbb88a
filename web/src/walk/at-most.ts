/** An upper limit rounded up, so that the words never promise more than the figure. */
export function atMost(percent: number): number {
  return percent >= 10 ? Math.ceil(percent) : Math.ceil(percent * 10) / 10;
}
