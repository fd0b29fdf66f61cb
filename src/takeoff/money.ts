/** Currencies without two decimals (ISO 4217, from memory). */
const NO_DECIMALS = new Set("BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF".split(" "));
const THREE_DECIMALS = new Set("BHD IQD JOD KWD LYD OMR TND".split(" "));

/** Decimals of a currency's smallest unit. */
export const decimalsOf = (currency: string): number =>
  NO_DECIMALS.has(currency) ? 0 : THREE_DECIMALS.has(currency) ? 3 : 2;

/** An amount in the currency's smallest unit, nearest. */
export const toMinor = (amount: number, currency: string): number =>
  Math.round(Number((amount * 10 ** decimalsOf(currency)).toFixed(3)));

const formats = new Map<string, Intl.NumberFormat>();

/** "EUR 1,234.50": code first, in the form that numbers have everywhere else on screen and paper. */
export function formatMoney(minor: number, currency: string): string {
  const decimals = decimalsOf(currency);
  let format = formats.get(currency);
  if (!format) {
    format = new Intl.NumberFormat("en", {
      style: "currency",
      currency,
      currencyDisplay: "code",
      minimumFractionDigits: decimals,
      maximumFractionDigits: decimals,
    });
    formats.set(currency, format);
  }
  return format.format(minor / 10 ** decimals).replace(/^-([A-Z]{3}\s)/u, "$1-");
}
