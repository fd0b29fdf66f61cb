// What this browser remembers outside any job. A browser may refuse even that; then it is just forgotten.

export type Theme = "dark" | "light";

const JOB_KEY = "velarium.job";
const FIRM_KEY = "velarium.firm";
const HANDS_KEY = "velarium.hands";
const LIGHT_KEY = "velarium.light";
const THEME_KEY = "velarium.theme";

/** The job this tab had open, or else the one opened last in any tab. */
export function rememberedJob(): string | null {
  return read("sessionStorage", JOB_KEY) ?? read("localStorage", JOB_KEY);
}

export function rememberJob(id: string): void {
  write("sessionStorage", JOB_KEY, id);
  write("localStorage", JOB_KEY, id);
}

/** The chosen theme, or null to go with the system. */
export function rememberedTheme(): Theme | null {
  const theme = read("localStorage", THEME_KEY);
  return theme === "dark" || theme === "light" ? theme : null;
}

export function rememberTheme(theme: Theme): void {
  write("localStorage", THEME_KEY, theme);
}

/** The firm's file as it was kept last, or null. */
export const rememberedFirm = (): string | null => read("localStorage", FIRM_KEY);

/** Keeps the firm's file; false where the browser refuses. */
export function rememberFirm(text: string): boolean {
  write("localStorage", FIRM_KEY, text);
  return rememberedFirm() === text;
}

/** Who works at the bench, and what this device is called. */
export interface Hands {
  who: string;
  device: string;
}

export function rememberedHands(): Hands {
  const [who = "", device = ""] = (read("localStorage", HANDS_KEY) ?? "").split("\n");
  return { who, device };
}

export const rememberHands = ({ who, device }: Hands): void =>
  write("localStorage", HANDS_KEY, `${who}\n${device}`);

/** How this device shows a tile without paper, as its part wrote it down, or null. */
export const rememberedLight = (): string | null => read("localStorage", LIGHT_KEY);

export const rememberLight = (text: string): void => write("localStorage", LIGHT_KEY, text);

type Store = "localStorage" | "sessionStorage";

function read(store: Store, key: string): string | null {
  try {
    return window[store].getItem(key);
  } catch {
    return null;
  }
}

function write(store: Store, key: string, value: string): void {
  try {
    window[store].setItem(key, value);
  } catch {
    // Denied or full: the next start simply does not remember.
  }
}
