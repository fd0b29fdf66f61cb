/** What was read of a value, as paths of keys; a list of keys asked for counts as reading them all, written `*`. */
export type Paths = Set<string>;

const wrapped = new WeakMap<object, object>();

/**
 * The same value, telling of everything that is read of it below `path`. Objects on the way to what is read do not
 * count, only what is found there: a number, a word, a list of keys, or that there is nothing.
 */
export function recorded<T>(value: T, path: readonly string[], reads: Paths): T {
  if (typeof value !== "object" || value === null || isWrapped(value)) return value;
  const proxy = new Proxy(value, {
    get(target, key, receiver) {
      const found = Reflect.get(target, key, receiver) as unknown;
      if (typeof key === "symbol" || typeof found === "function") return found;
      const at = [...path, key];
      if (typeof found !== "object" || found === null) reads.add(at.join(" "));
      return recorded(found, at, reads);
    },
    has(target, key) {
      if (typeof key === "string") reads.add([...path, key].join(" "));
      return Reflect.has(target, key);
    },
    ownKeys(target) {
      reads.add([...path, "*"].join(" "));
      return Reflect.ownKeys(target);
    },
  });
  wrapped.set(proxy, value);
  return proxy as T;
}

const isWrapped = (value: object): boolean => wrapped.has(value);

/** Whether inputs, in the shape of `whole`, hold what lies at a path. */
export function covers(inputs: unknown, whole: unknown, path: string): boolean {
  let [part, all] = [inputs, whole];
  for (const key of path.split(" ")) {
    // the very same object was handed over whole, with all that is in it
    if (part === all && typeof part === "object") return true;
    if (typeof part !== "object" || part === null) return false;
    // a copy of some of its keys: which others there are tells nothing, as long as none of them is looked into
    if (key === "*") return true;
    if (!(key in part)) return false;
    part = (part as Record<string, unknown>)[key];
    all = (all as Record<string, unknown> | undefined)?.[key];
  }
  return true;
}
