import { gtin14 } from './gtin';

/**
 * What may stand behind AI 10: 1 to 20 of the 82 characters of GS1. The dot is left out, because
 * the program takes an address whose end looks like a file's name for a file.
 */
const lotCode = /^[!"%&'()*+,\-/0-9:;<=>?A-Z_a-z]{1,20}$/;

/** encodeURIComponent leaves a few characters that GS1 asks to be encoded. */
function encoded(text: string): string {
  return encodeURIComponent(text).replace(/[!'()*]/g, (one) => `%${one.charCodeAt(0).toString(16).toUpperCase()}`);
}

/**
 * The address in the code of a lot's label. With a GTIN it is a web address that other programs read
 * too: AI 01 (GTIN) and AI 10 (batch or lot) as path segments, after the GS1 Digital Link Standard,
 * URI Syntax. Without one, or with a code that standard cannot carry, it leads by the lot's id.
 */
export function labelAddress(origin: string, lot: { id: string; code: string }, gtin?: string | null): string {
  const whole = gtin14(gtin ?? '');
  if (whole === null || !lotCode.test(lot.code)) return `${origin}/l/${lot.id}`;
  return `${origin}/01/${whole}/10/${encoded(lot.code)}`;
}

/** The address in the code of a block's label. */
export function blockAddress(origin: string, id: string): string {
  return `${origin}/b/${id}`;
}

/** Whether an origin is known on this machine only, so that no phone can open a code with it. */
export function opensOnlyHere(origin: string): boolean {
  const { hostname } = new URL(origin);
  return hostname === 'localhost' || hostname.endsWith('.localhost') || hostname === '[::1]' || /^127\./.test(hostname);
}
