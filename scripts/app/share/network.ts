import { isIPv4 } from "node:net";
import { networkInterfaces } from "node:os";

/** Ranges of home and workshop networks (RFC 1918), those first that routers give out most. */
const PRIVATE = [/^192\.168\./, /^10\./, /^172\.(1[6-9]|2\d|3[01])\./];

/** This computer's addresses in its networks, the one that another device most likely reaches first. */
export function networkAddresses(interfaces = networkInterfaces()): string[] {
  const found = Object.values(interfaces)
    .flatMap((list) => list ?? [])
    .filter(({ internal, address }) => !internal && isIPv4(address) && !address.startsWith("169.254."))
    .map(({ address }) => address);
  const rank = (address: string): number => {
    const at = PRIVATE.findIndex((range) => range.test(address));
    return at === -1 ? PRIVATE.length : at;
  };
  return [...new Set(found)].sort((a, b) => rank(a) - rank(b));
}
