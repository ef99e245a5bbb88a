/** The most blocks added in one go. */
export const mostBlocks = 200;

/** Names in a row, "A 01" to "A 20": numbers get the leading zeros that keep them in order. */
export function blockNames(prefix: string, first: number, last: number): string[] {
  if (!Number.isInteger(first) || !Number.isInteger(last) || first < 0 || last < first || last - first >= mostBlocks) return [];
  const digits = Math.max(2, String(last).length);
  const start = prefix.trim();
  return Array.from({ length: last - first + 1 }, (_, i) => {
    const number = String(first + i).padStart(digits, '0');
    return start === '' ? number : `${start} ${number}`;
  });
}
