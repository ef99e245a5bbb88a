import { pieces } from './mark';

/** A sentence whose marked figures stand out. */
export function Marked({ text }: { text: string }) {
  return <>{pieces(text).map((piece, i) => (piece.strong ? <b key={i}>{piece.text}</b> : piece.text))}</>;
}
