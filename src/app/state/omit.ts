/** The object without some keys that it may do without. */
export function omit<T extends object>(object: T, ...keys: (keyof T)[]): T {
  const rest = { ...object };
  for (const key of keys) delete rest[key];
  return rest;
}
