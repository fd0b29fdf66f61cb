/** Currencies without two decimals (ISO 4217, from memory). */
const NO_DECIMALS = new Set("BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF".split(" "));
const THREE_DECIMALS = new Set("BHD IQD JOD KWD LYD OMR TND".split(" "));

/** Decimals of a currency's smallest unit. */
export const decimalsOf = (currency: string): number =>
  NO_DECIMALS.has(currency) ? 0 : THREE_DECIMALS.has(currency) ? 3 : 2;

/** An amount in the currency's smallest unit, nearest. */
export const toMinor = (amount: number, currency: string): number =>
  Math.round(Number((amount * 10 ** decimalsOf(currency)).toFixed(3)));

/** "EUR 1 234.50": code first, a thin gap every three digits, alike in every engine and language. */
export function formatMoney(minor: number, currency: string): string {
  const decimals = decimalsOf(currency);
  const digits = String(Math.abs(minor)).padStart(decimals + 1, "0");
  const whole = digits.slice(0, digits.length - decimals).replace(/\B(?=(\d{3})+$)/g, "\u00A0");
  const part = decimals > 0 ? `.${digits.slice(-decimals)}` : "";
  return `${currency}\u00A0${minor < 0 ? "-" : ""}${whole}${part}`;
}
