/** A PDF or a picture of a plan that was opened last, until the survey has laid it beneath. */
export const openedPlan = $state<{ current: { name: string; bytes: Uint8Array } | null }>({ current: null });

const HEADS = [
  ["application/pdf", /^%PDF-/],
  ["image/png", /^\x89PNG\r\n/],
  ["image/jpeg", /^\xff\xd8\xff/],
  ["image/webp", /^RIFF[^]{4}WEBP/],
] as const;

/** What kind of plan to trace a file is, by how it begins; null for anything else. */
export function planKind(bytes: Uint8Array): (typeof HEADS)[number][0] | null {
  const begin = String.fromCharCode(...bytes.subarray(0, 16));
  return HEADS.find(([, head]) => head.test(begin))?.[0] ?? null;
}
