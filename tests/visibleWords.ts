import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import ts from "typescript";

/** Words that a person may read: strings of the program, and texts and attributes of its screens; no names, imports or comments. */
export interface Said {
  file: string;
  text: string;
}

/** Every string of a TypeScript source that has a space or begins like a sentence; imports and keys are left aside. */
function stringsOf(file: string, source: string): Said[] {
  const found: Said[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) return;
    if (
      ts.isStringLiteralLike(node) ||
      node.kind === ts.SyntaxKind.TemplateHead ||
      node.kind === ts.SyntaxKind.TemplateMiddle ||
      node.kind === ts.SyntaxKind.TemplateTail
    ) {
      const { text } = node as ts.LiteralLikeNode;
      if (/\s|^[A-Z]/.test(text)) found.push({ file, text });
    }
    ts.forEachChild(node, visit);
  };
  visit(ts.createSourceFile(file, source, ts.ScriptTarget.Latest, true));
  return found;
}

/** The markup of a screen between its tags, and the attributes that are read out or shown. */
function markupOf(file: string, markup: string): Said[] {
  const words = [
    ...markup.matchAll(/\b(?:label|title|legend|placeholder|alt|note|empty|words|aria-label)="([^"]*)"/g),
  ];
  const expressions = [...markup.matchAll(/\{([^{}]*)\}/g)].flatMap(([, code]) =>
    stringsOf(file, `(${code})`),
  );
  const bare = markup
    .replace(/<!--[^]*?-->/g, " ")
    .replace(/\{[^{}]*\}/g, " ")
    .replace(/<[^>]*>/g, "\n");
  const texts = bare.split(/\n\s*\n|\n(?=\S)/).map((text) => text.replace(/\s+/g, " ").trim());
  return [
    ...words.map(([, text]) => ({ file, text: text! })),
    ...expressions,
    ...texts.filter((text) => text !== "").map((text) => ({ file, text })),
  ];
}

/** Everything of `src`, and the first page, that a person may read. */
export function visibleWords(): Said[] {
  return readdirSync("src", { recursive: true, encoding: "utf8" }).flatMap((name) => {
    const file = join("src", name);
    if (/(?<!\.d)\.ts$/.test(file)) return stringsOf(file, readFileSync(file, "utf8"));
    if (!file.endsWith(".svelte")) return [];
    const whole = readFileSync(file, "utf8");
    const scripts = [...whole.matchAll(/<script[^>]*>([^]*?)<\/script>/g)].map(([, code]) => code!);
    const markup = whole.replace(/<script[^>]*>[^]*?<\/script>|<style[^]*?<\/style>/g, "");
    return [...scripts.flatMap((code) => stringsOf(file, code)), ...markupOf(file, markup)];
  });
}
