// The library's own worker, as one of ours: every server sends .js as a script, few do so with .mjs.
import "pdfjs-dist/build/pdf.worker.min.mjs";
