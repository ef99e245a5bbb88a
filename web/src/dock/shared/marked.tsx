/** A sentence whose figures stand between `**`: shows them in bold. */
export function Marked({ text }: { text: string }) {
  return <>{text.split('**').map((part, i) => (i % 2 === 1 ? <b key={i}>{part}</b> : part))}</>;
}

/** The same sentence without the marks. */
export function plain(text: string): string {
  return text.replaceAll('**', '');
}

/** First letter large, also behind a mark: parts of a sentence are put together from the middle. */
export function asSentence(text: string): string {
  return text.replace(/^(\**)(\p{Ll})/u, (_all, marks: string, letter: string) => marks + letter.toLocaleUpperCase());
}
