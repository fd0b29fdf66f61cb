import { BrokenInstallation } from "../job/faults.ts";

/**
 * The envelope of our packed catalogue files, little-endian: 4 letters of magic, u16 version, u16 zero,
 * u32 row count, u32 Adler-32 (RFC 1950) of the payload, u32 payload length, payload.
 */
export const HEADER_BYTES = 20;
export const PACKED_VERSION = 1;

export interface Envelope {
  count: number;
  payload: Uint8Array;
}

const ADLER_MODULUS = 65521;
/** Longest run whose sums still fit 32 bits (RFC 1950, as every implementation chunks it). */
const ADLER_RUN = 3800;

/** Adler-32 checksum of RFC 1950. */
export function adler32(bytes: Uint8Array): number {
  let a = 1;
  let b = 0;
  for (let start = 0; start < bytes.length; start += ADLER_RUN) {
    const end = Math.min(bytes.length, start + ADLER_RUN);
    for (let i = start; i < end; i++) {
      a += bytes[i]!;
      b += a;
    }
    a %= ADLER_MODULUS;
    b %= ADLER_MODULUS;
  }
  return b * 65536 + a;
}

/** Puts the envelope round a payload. `magic` is 4 ASCII letters. */
export function pack(magic: string, count: number, payload: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(HEADER_BYTES + payload.length);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < 4; i++) bytes[i] = magic.charCodeAt(i);
  view.setUint16(4, PACKED_VERSION, true);
  view.setUint32(8, count, true);
  view.setUint32(12, adler32(payload), true);
  view.setUint32(16, payload.length, true);
  bytes.set(payload, HEADER_BYTES);
  return bytes;
}

/** Opens the envelope; anything but a whole, unchanged file of the right kind is a BrokenInstallation. */
export function unpack(bytes: Uint8Array, magic: string, file: string): Envelope {
  const refuse = (expected: string, got: string): never => {
    throw brokenFile(file, expected, got);
  };
  if (bytes.length < HEADER_BYTES) refuse(`at least ${HEADER_BYTES} bytes`, `${bytes.length} bytes`);
  const found = String.fromCharCode(...bytes.subarray(0, 4));
  if (found !== magic) refuse(`a file that begins with ${magic}`, JSON.stringify(found));
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const version = view.getUint16(4, true);
  if (version !== PACKED_VERSION) refuse(`version ${PACKED_VERSION}`, `version ${version}`);
  const length = view.getUint32(16, true);
  const payload = bytes.subarray(HEADER_BYTES);
  if (payload.length !== length) refuse(`${length} bytes after the header`, `${payload.length} bytes`);
  const checksum = view.getUint32(12, true);
  const actual = adler32(payload);
  if (actual !== checksum) refuse(`checksum ${checksum.toString(16)}`, actual.toString(16));
  return { count: view.getUint32(8, true), payload };
}

/** How every fault of a catalogue file reads: these files are ours, so the cure is to fetch them anew. */
export function brokenFile(file: string, expected: string, got: string): BrokenInstallation {
  return new BrokenInstallation({
    path: `catalog/${file}`,
    expected,
    got,
    next: "The file is damaged or of another version: restore it from the repository, or run `npm run catalog`.",
  });
}
