import type { Plugin } from "vite";

/** Everything from this origin, nothing inline, nothing framed. `wasm-unsafe-eval` serves the solver only. */
const POLICY = [
  "default-src 'self'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' blob: data:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
];

/** What every answer of a server of the studio says. */
export const HEADERS: Record<string, string> = {
  // a page can't forbid its own framing: only a header can
  "Content-Security-Policy": [...POLICY, "frame-ancestors 'none'"].join("; "),
  "X-Content-Type-Options": "nosniff",
  "Referrer-Policy": "no-referrer",
  "Cross-Origin-Opener-Policy": "same-origin",
};

/**
 * For hosts that only serve files: the policy stands in the page itself, and all headers in a file `_headers`, which
 * many of them read and the others' settings can be copied from.
 */
export function attachPolicy(): Plugin {
  return {
    name: "velarium-attach-policy",
    apply: "build",
    transformIndexHtml: () => [
      {
        tag: "meta",
        attrs: { "http-equiv": "Content-Security-Policy", content: POLICY.join("; ") },
        injectTo: "head-prepend",
      },
    ],
    generateBundle() {
      const lines = Object.entries(HEADERS).map(([name, value]) => `  ${name}: ${value}\n`);
      this.emitFile({ type: "asset", fileName: "_headers", source: `/*\n${lines.join("")}` });
    },
  };
}
