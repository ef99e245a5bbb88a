import type { Cultivar } from '../contract.gen';

/**
 * The check digit of a GTIN without it: digits weigh 3 and 1 in turn from the right, and the check
 * digit fills the sum up to a multiple of ten (GS1 General Specifications, "check digit calculation").
 */
export function checkDigit(digits: string): number {
  const sum = Array.from(digits, Number).reverse().reduce((all, digit, i) => all + digit * (i % 2 === 0 ? 3 : 1), 0);
  return (10 - (sum % 10)) % 10;
}

/**
 * A GTIN of 8, 12, 13 or 14 digits in the form of 14, with zeros in front as GS1 writes it; null when
 * it is none or its check digit does not fit. Blanks and hyphens that people type are let through.
 */
export function gtin14(text: string): string | null {
  const digits = text.replace(/[\s-]/g, '');
  if (!/^(\d{8}|\d{12,14})$/.test(digits)) return null;
  return checkDigit(digits.slice(0, -1)) === Number(digits.slice(-1)) ? digits.padStart(14, '0') : null;
}

/** The GTIN of a cultivar, where it has a sound one: the server does not verify check digits. */
export function gtinOf({ gtin }: Pick<Cultivar, 'gtin'>): string | null {
  return gtin ? gtin14(gtin) : null;
}
