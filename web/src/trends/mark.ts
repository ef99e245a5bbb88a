const start = '\u0002';
const end = '\u0003';

/** Marks a figure inside a sentence, so that the page can set it in bold. */
export function mark(text: string): string {
  return start + text + end;
}

/** The pieces of a marked sentence, in order. */
export function pieces(text: string): { text: string; strong: boolean }[] {
  return text
    .split(start)
    .flatMap((part, i) => {
      if (i === 0) return [{ text: part, strong: false }];
      const [strong = '', ...rest] = part.split(end);
      return [{ text: strong, strong: true }, { text: rest.join(''), strong: false }];
    })
    .filter((piece) => piece.text !== '');
}

/** The sentence without its marks. */
export function unmarked(text: string): string {
  return text.replaceAll(start, '').replaceAll(end, '');
}
