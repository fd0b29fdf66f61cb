import { untrack } from "svelte";
import { painted } from "./painted.ts";

/**
 * What `get` gives, one frame late: for what a person looks at after the thing they pressed, so that this is shown sooner.
 * To be made where a component is.
 */
export function late<T>(get: () => T): { readonly value: T } {
  let shown = $state.raw(untrack(get));
  $effect(() => {
    const value = get();
    if (value !== untrack(() => shown)) void painted().then(() => (shown = value));
  });
  return {
    get value() {
      return shown;
    },
  };
}
