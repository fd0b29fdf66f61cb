/** The part of bidi-js that runs.ts uses; the package brings no types. */
declare module "bidi-js" {
  export interface Bidi {
    getEmbeddingLevels(text: string, direction?: "ltr" | "rtl" | "auto"): { levels: Uint8Array };
    /** Places in the text whose character has a mirror image there. */
    getMirroredCharactersMap(text: string, levels: Uint8Array): Map<number, string>;
  }
  export default function bidiFactory(): Bidi;
}
