import type { MadeBoard } from "../worker/api.ts";

/** A board's SVG drawn as a picture; its words are outlines, so it looks alike on every machine. */
export async function boardPng({ svg, widthPx, heightPx }: MadeBoard): Promise<Blob> {
  const url = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
  try {
    const image = new Image(widthPx, heightPx);
    image.src = url;
    await image.decode();
    const canvas = document.createElement("canvas");
    canvas.width = widthPx;
    canvas.height = heightPx;
    const pen = canvas.getContext("2d");
    if (!pen) throw new Error("no canvas to draw the board on");
    pen.drawImage(image, 0, 0, widthPx, heightPx);
    return await new Promise((done, fail) =>
      canvas.toBlob(
        (blob) => (blob ? done(blob) : fail(new Error("the board could not be written"))),
        "image/png",
      ),
    );
  } finally {
    URL.revokeObjectURL(url);
  }
}
