import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import ts from "typescript";
import { describe, expect, test } from "vitest";

/**
 * Which part of src may import which (DEVELOPERS.md, "The way of the data"). A part is a folder of src, or a
 * file directly in it. Shells (cli, app) may import everything; nothing may import a shell.
 */
const CORE = ["trade", "geometry", "job", "sky", "ceiling", "pattern"];
const WAY = [...CORE, "issue", "plan", "catalogDepth"];
const MAY_IMPORT: Record<string, string[]> = {
  trade: [],
  groupBy: [],
  geometry: [],
  job: ["trade", "geometry"],
  drawing: ["geometry"],
  sky: ["trade", "geometry", "job"],
  ceiling: ["trade", "geometry", "job"],
  survey: ["trade", "geometry", "job", "sky", "ceiling"],
  pattern: ["trade", "geometry", "job", "sky", "ceiling"],
  issue: [...CORE, "plan"],
  catalogDepth: CORE,
  plan: WAY,
  cast: ["trade", "geometry", "job", "ceiling", "photo"],
  record: [...WAY, "bundles"],
  asBuilt: [...WAY, "bundles", "record"],
  bundles: WAY,
  takeoff: [...WAY, "bundles"],
  scene: WAY,
  choose: [...WAY, "scene"],
  photo: [...WAY, "bundles", "record"],
  sheets: [...WAY, "asBuilt", "drawing", "bundles", "takeoff", "scene", "choose", "photo"],
  revision: [...WAY, "bundles", "sheets", "work"],
  archive: [...WAY, "bundles", "record", "asBuilt", "sheets"],
  work: [...WAY, "record", "asBuilt", "bundles", "takeoff", "drawing", "scene", "choose", "sheets"],
  check: [...WAY, "drawing", "bundles", "takeoff", "scene", "choose", "sheets"],
};
const SHELLS = ["cli", "app"];
/** What every part may use: it knows of nothing. */
const FOR_ALL = ["groupBy"];

/** Names that only a browser, a clock or chance can answer; the core is given such things as arguments. */
const NOT_IN_CORE = new Set(
  (
    "document window navigator location history localStorage sessionStorage indexedDB fetch XMLHttpRequest " +
    "requestAnimationFrame setTimeout setInterval alert Worker process Buffer __dirname HTMLElement " +
    "OffscreenCanvas performance Date"
  ).split(" "),
);
/** `Date` with numbers as arguments is arithmetic; reading the clock is not. */
const CLOCK_OR_CHANCE = /\bMath\.random\b|\bDate\.now\b|\bnew Date\(\s*\)|\bTemporal\.Now\b|\bcrypto\b/;

const files = readdirSync("src", { recursive: true, encoding: "utf8" })
  .filter((file) => file.endsWith(".ts") && !file.endsWith(".d.ts"))
  .map((file) => join("src", file));
const partOf = (file: string): string => relative("src", file).split("/")[0]!.replace(/\.ts$/, "");
const coreFiles = files.filter((file) => !SHELLS.includes(partOf(file)));

function importsOf(file: string): string[] {
  return ts.preProcessFile(readFileSync(file, "utf8"), true, true).importedFiles.map((f) => f.fileName);
}

/** What a text breaks of the rule for a file, in words; empty when nothing. */
function breaches(file: string, imports: string[]): string[] {
  const part = partOf(file);
  return imports.flatMap((name) => {
    if (/^(node:|fs$|path$|svelte|\$app)/.test(name) || name.endsWith(".svelte")) return [`${file}: ${name}`];
    if (!name.startsWith(".")) return [];
    const target = partOf(join(dirname(file), name));
    return target === part || [...FOR_ALL, ...(MAY_IMPORT[part] ?? [])].includes(target)
      ? []
      : [`${file}: ${name}`];
  });
}

function worldlyNames(file: string, text: string): string[] {
  const found: string[] = [];
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.Latest, true);
  const visit = (node: ts.Node): void => {
    if (ts.isIdentifier(node) && NOT_IN_CORE.has(node.text) && !isMemberName(node)) {
      const dateArithmetic = node.text === "Date" && !CLOCK_OR_CHANCE.test(node.parent.getText());
      if (!dateArithmetic) found.push(`${file}: ${node.parent.getText().slice(0, 60)}`);
    }
    if (ts.isPropertyAccessExpression(node) && CLOCK_OR_CHANCE.test(node.getText()))
      found.push(`${file}: ${node.getText()}`);
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

function isMemberName(node: ts.Identifier): boolean {
  const { parent } = node;
  return (
    (ts.isPropertyAccessExpression(parent) && parent.name === node) ||
    ((ts.isPropertyAssignment(parent) ||
      ts.isPropertySignature(parent) ||
      ts.isPropertyDeclaration(parent)) &&
      parent.name === node) ||
    declaredInFile(node)
  );
}

/** A parameter or constant of that name in the same file is not the browser's. */
function declaredInFile(node: ts.Identifier): boolean {
  let declared = false;
  const visit = (at: ts.Node): void => {
    if (
      (ts.isParameter(at) || ts.isVariableDeclaration(at) || ts.isBindingElement(at)) &&
      at.name.getText() === node.text
    ) {
      declared = true;
    }
    ts.forEachChild(at, visit);
  };
  visit(node.getSourceFile());
  return declared;
}

/**
 * The studio's own layers, lowest first: each may import itself, those before it, and the core. Parts do not
 * import parts: what two of them need moves down. Fields and buttons (`ui`) know no job.
 */
const LAYERS = ["ui", "worker", "state", "work", "stage", "parts", "shell"];
const UI_MAY_READ = /^src\/(trade\/|job\/(units|faults|factWords|readTime|writtenTime)\.ts$)/;

const studioFiles = readdirSync("src/app", { recursive: true, encoding: "utf8" })
  .filter((file) => /\.(ts|svelte)$/.test(file))
  .map((file) => join("src/app", file));

function studioImports(file: string): string[] {
  const text = readFileSync(file, "utf8");
  const script = file.endsWith(".svelte") ? [...text.matchAll(/<script[^>]*>([^]*?)<\/script>/g)].map((m) => m[1]).join("\n") : text; // prettier-ignore
  return ts.preProcessFile(script, true, true).importedFiles.map((f) => f.fileName);
}

function studioBreaches(file: string, imports: string[]): string[] {
  const [layer = "", part = ""] = relative("src/app", file).split("/");
  if (!LAYERS.includes(layer)) return [];
  return imports.flatMap((name) => {
    if (!name.startsWith(".")) return [];
    const target = join(dirname(file), name.replace(/\?.*$/, ""));
    const fault = [`${file}: ${name}`];
    if (!target.startsWith(join("src", "app") + "/"))
      return layer === "ui" && !UI_MAY_READ.test(target) ? fault : [];
    const [to = "", toPart = ""] = relative("src/app", target).split("/");
    if (!LAYERS.includes(to)) return [];
    if (LAYERS.indexOf(to) > LAYERS.indexOf(layer)) return fault;
    const anotherPart = layer === "parts" && to === "parts" && toPart !== part && part !== "parts.ts";
    return anotherPart ? fault : [];
  });
}

describe("the studio's layers", () => {
  test("imports go down, parts do not import parts, and fields know no job", () => {
    expect(studioFiles.length).toBeGreaterThan(150);
    expect(studioFiles.flatMap((file) => studioBreaches(file, studioImports(file)))).toEqual([]);
  });

  test("the rule itself finds what it forbids", () => {
    const part = "src/app/parts/night/a.svelte";
    expect(
      studioBreaches(part, ["../order/b.ts", "../../shell/c.ts", "./d.ts", "../../ui/e.ts"]),
    ).toHaveLength(2);
    expect(studioBreaches("src/app/ui/a.svelte", ["../state/studio.ts", "../../job/schema.ts"])).toHaveLength(
      2,
    );
  });
});

/** What is done in one way in the whole studio: how it is known, and the only file that may have it. */
const ONE_WAY: [string, RegExp, string][] = [
  ["reads the arrow keys", /Arrow(Up|Down|Left|Right)/, "ui/arrow.ts"],
  ["follows a drag", /pointermove|setPointerCapture/, "ui/hold.ts"],
  ["is a box to tick", /type="checkbox"/, "ui/Tick.svelte"],
  ["is a list that opens", /<select\b/, "ui/Select.svelte"],
  ["says what is wrong with what was typed into it", /role=\{refused \? "alert"/, "ui/TypedField.svelte"],
];
const studioText = (file: string): string => readFileSync(file, "utf8");
const components = studioFiles.filter((file) => file.endsWith(".svelte"));

/** Blocks of a component's own style that are no mere pair of declarations, each in one spelling. */
function styleBlocks(file: string): string[] {
  const style = /<style>([^]*)<\/style>/.exec(studioText(file))?.[1] ?? "";
  return [...style.matchAll(/\{([^{}]*)\}/g)]
    .map(([, body = ""]) =>
      body
        .split(";")
        .map((line) => line.trim())
        .filter(Boolean)
        .sort(),
    ) // prettier-ignore
    .filter((lines) => lines.length > 2)
    .map((lines) => lines.join("; "));
}

describe("one way for each thing", () => {
  test.each(ONE_WAY)("what %s is one file", (_, known, only) => {
    expect(studioFiles.filter((file) => known.test(studioText(file)))).toEqual([join("src/app", only)]);
  });

  test("a style that two components have stands in src/app/styles, or is a component of ui", () => {
    const owners = new Map<string, Set<string>>();
    for (const file of components)
      for (const block of styleBlocks(file)) owners.set(block, (owners.get(block) ?? new Set()).add(file));
    expect(owners.size).toBeGreaterThan(100);
    expect([...owners].filter(([, files]) => files.size > 1)).toEqual([]);
  });

  test("the middle one of all components has at most 80 lines, its style with it", () => {
    const lines = components.map((file) => studioText(file).trimEnd().split("\n").length);
    expect(lines.sort((a, b) => a - b)[Math.floor(lines.length / 2)]).toBeLessThanOrEqual(80);
  });
});

describe("the way of the data has no way back", () => {
  test("there is something to look at", () => {
    expect(new Set(coreFiles.map(partOf)).size).toBeGreaterThan(6);
  });

  test("every part of src has its rule", () => {
    const parts = new Set(coreFiles.map(partOf));
    expect([...parts].filter((part) => !(part in MAY_IMPORT))).toEqual([]);
  });

  test("imports go one way, and never to Node, Svelte or a shell", () => {
    expect(coreFiles.flatMap((file) => breaches(file, importsOf(file)))).toEqual([]);
  });

  test("the core asks no browser, no clock and no chance", () => {
    expect(coreFiles.flatMap((file) => worldlyNames(file, readFileSync(file, "utf8")))).toEqual([]);
  });

  test("relative imports carry their ending", () => {
    const bare = files.flatMap((file) =>
      importsOf(file)
        .filter((name) => name.startsWith(".") && !/\.\w+(\?\w+)?$/.test(name))
        .map((name) => `${file}: ${name}`),
    );
    expect(bare).toEqual([]);
  });

  test("the rule itself finds what it forbids", () => {
    expect(
      breaches("src/sky/a.ts", ["node:fs", "../ceiling/b.ts", "../cli/c.ts", "./d.ts", "zod"]),
    ).toHaveLength(3);
    expect(breaches("src/plan.ts", ["./sheets/pdf.ts", "./sky/frame.ts"])).toHaveLength(1);
    expect(
      worldlyNames("x.ts", "const a = Math.random(); document.title = 'x'; const d = new Date();"),
    ).toHaveLength(3);
    expect(
      worldlyNames("x.ts", "const a = { document: 1 }; a.document; new Date(3); Date.UTC(1, 2);"),
    ).toEqual([]);
  });
});
