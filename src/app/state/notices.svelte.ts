/** Something said to the person in passing. One code, one notice: a newer one replaces the older. */
export interface Notice {
  code: string;
  text: string;
  action?: { label: string; run: () => void };
  /** Stays until dismissed. */
  stays: boolean;
}

const SHOWN_MS = 6000;

export const notices = $state<{ list: Notice[] }>({ list: [] });
// eslint-disable-next-line svelte/prefer-svelte-reactivity -- nothing shown depends on it
const timers = new Map<string, ReturnType<typeof setTimeout>>();

export function say(code: string, text: string, action?: Notice["action"]): void {
  clearNotice(code);
  const stays = action !== undefined || code === "defect" || code === "forked";
  notices.list.push({ code, text, stays, ...(action && { action }) });
  if (!stays)
    timers.set(
      code,
      setTimeout(() => clearNotice(code), SHOWN_MS),
    );
}

export function clearNotice(code: string): void {
  clearTimeout(timers.get(code));
  timers.delete(code);
  const index = notices.list.findIndex((notice) => notice.code === code);
  if (index >= 0) notices.list.splice(index, 1);
}
