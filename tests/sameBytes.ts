import { expect } from "vitest";

/** Vitest compares the bytes of files and pictures one by one, for seconds; the same bytes are known to be the same at once. */
expect.addEqualityTesters([
  (one, other) =>
    ArrayBuffer.isView(one) &&
    ArrayBuffer.isView(other) &&
    one.constructor === other.constructor &&
    bytesOf(one).equals(bytesOf(other))
      ? true
      : undefined,
]);

const bytesOf = ({ buffer, byteOffset, byteLength }: ArrayBufferView): Buffer =>
  Buffer.from(buffer, byteOffset, byteLength);
