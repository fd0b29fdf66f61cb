import { getDocument, type PDFDocumentProxy, PDFWorker } from "pdfjs-dist";

// The library is large: this file is fetched when somebody opens a PDF, and never otherwise.

/** A PDF whose pages can be drawn. `close` ends its worker. */
export interface OpenPdf {
  pages: number;
  draw(page: number, longestPx: number): Promise<HTMLCanvasElement>;
  close(): void;
}

/** Opens a PDF; its worker is ended, and the promise refused, when `stop` says so. */
export async function openPdf(bytes: Uint8Array, stop: AbortSignal): Promise<OpenPdf> {
  const port = new Worker(new URL("./pdf.worker.ts", import.meta.url), {
    type: "module",
    name: "velarium-pdf",
  });
  const worker = PDFWorker.create({ port });
  const loading = getDocument({ data: bytes.slice(), worker, isEvalSupported: false });
  const close = (): void => {
    void loading.destroy();
    port.terminate();
  };
  stop.addEventListener("abort", close);
  const opened = await loading.promise;
  return { pages: opened.numPages, draw: (page, px) => drawn(opened, page, px), close };
}

async function drawn(pdf: PDFDocumentProxy, number: number, longestPx: number): Promise<HTMLCanvasElement> {
  const page = await pdf.getPage(number);
  const { width, height } = page.getViewport({ scale: 1 });
  const viewport = page.getViewport({ scale: longestPx / Math.max(width, height) });
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(viewport.width);
  canvas.height = Math.round(viewport.height);
  await page.render({ canvas, viewport, background: "#fff" }).promise;
  return canvas;
}
