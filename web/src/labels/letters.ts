/** How wide letters get, as a part of their size, in the bold of the widest fonts that systems bring: better a little small than cut off. */
function widthOf(letter: string): number {
  if (/[-.,:;'’!|()/ \u00a0ijlIftr]/.test(letter)) return 0.5;
  if (/[MWmw%@—]/.test(letter)) return 1.13;
  if (/[A-ZÁÉÍÓÚÑÜ]/.test(letter)) return 0.86;
  return /[\da-záéíóúñü+]/.test(letter) ? 0.72 : 1.13;
}

/** The size of letters at which a text fits a width in one line, within bounds. */
export function letterSize(text: string, width: number, least: number, most: number): number {
  const widths = Array.from(text, widthOf).reduce((sum, one) => sum + one, 0);
  return Math.min(most, Math.max(least, width / Math.max(1, widths)));
}
