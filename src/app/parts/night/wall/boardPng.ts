import type { MadeBoard } from "../worker/api.ts";

/** The pages of a board as one picture, night under night; their words are outlines, so they look alike on every machine. */
export async function boardPng({ svgs, widthPx, heightPx }: MadeBoard): Promise<Blob> {
  const canvas = document.createElement("canvas");
  canvas.width = widthPx;
  canvas.height = heightPx * svgs.length;
  const pen = canvas.getContext("2d");
  if (!pen) throw new Error("no canvas to draw the board on");
  for (const [i, svg] of svgs.entries()) {
    const url = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
    try {
      const image = new Image(widthPx, heightPx);
      image.src = url;
      await image.decode();
      pen.drawImage(image, 0, i * heightPx, widthPx, heightPx);
    } finally {
      URL.revokeObjectURL(url);
    }
  }
  return await new Promise((done, fail) =>
    canvas.toBlob(
      (blob) => (blob ? done(blob) : fail(new Error("the board could not be written"))),
      "image/png",
    ),
  );
}
