import { footPx } from "../../../sheets/photo/marked.ts";

/** A photograph with its marks, ready to show and to save. */
export interface Marked {
  url: string;
  jpeg: Blob;
  widthPx: number;
  heightPx: number;
}

/** Draws marks (an SVG with a foot under the picture) over a photograph, at the size it was worked at. */
export async function paintMarked(
  file: Blob,
  svg: string,
  { widthPx, heightPx }: { widthPx: number; heightPx: number },
): Promise<Marked> {
  const whole = heightPx + footPx({ widthPx, heightPx });
  const canvas = document.createElement("canvas");
  canvas.width = widthPx;
  canvas.height = whole;
  const pen = canvas.getContext("2d");
  if (!pen) throw new Error("no canvas to draw the marks on");
  pen.fillStyle = "#101010";
  pen.fillRect(0, 0, widthPx, whole);
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
  pen.drawImage(bitmap, 0, 0, widthPx, heightPx);
  bitmap.close();
  const url = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
  try {
    const marks = new Image(widthPx, whole);
    marks.src = url;
    await marks.decode();
    pen.drawImage(marks, 0, 0, widthPx, whole);
  } finally {
    URL.revokeObjectURL(url);
  }
  const jpeg = await new Promise<Blob>((done, fail) =>
    canvas.toBlob(
      (blob) => (blob ? done(blob) : fail(new Error("the marked picture could not be written"))),
      "image/jpeg",
      0.88,
    ),
  );
  // given back at once, not when somebody tidies up
  canvas.width = canvas.height = 0;
  return { url: URL.createObjectURL(jpeg), jpeg, widthPx, heightPx: whole };
}
