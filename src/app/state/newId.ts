/** An id that no other job has. Not `crypto.randomUUID`: a page over plain HTTP from another machine has none. */
export function newId(): string {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}
