import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Plugin } from "vite";

/** Name of the file beside the studio that holds every notice. */
export const NOTICES_FILE = "notices.txt";
const LICENCE_FILE = /^(licen[cs]e|copying|ofl|notice)([.-].*)?$/i;

interface Locked {
  version?: string;
  license?: string;
  dev?: boolean;
  optional?: boolean;
  devOptional?: boolean;
}

/** Folders of the packages that studio or command are made of, with what the lock file says of them. */
export function shippedPackages(): { folder: string; name: string; locked: Locked }[] {
  const { packages } = JSON.parse(readFileSync("package-lock.json", "utf8")) as {
    packages: Record<string, Locked>;
  };
  return Object.entries(packages)
    .filter(([folder, { dev, optional, devOptional }]) => folder !== "" && !dev && !optional && !devOptional)
    .map(([folder, locked]) => ({ folder, name: folder.replace(/^.*node_modules\//, ""), locked }));
}

/** Licence and notice of every library and typeface in the build, in full, and our own first. */
export function noticesText(): string {
  const parts = [
    `Velarium\n\n${readFileSync("LICENSE", "utf8")}`,
    readFileSync("catalog/ATTRIBUTION.md", "utf8"),
  ];
  for (const { folder, name, locked } of shippedPackages()) {
    const files = existsSync(folder)
      ? readdirSync(folder)
          .filter((file) => LICENCE_FILE.test(file))
          .sort()
      : [];
    const texts = files.map((file) => readFileSync(join(folder, file), "utf8").trim());
    const words = texts.length > 0 ? texts.join("\n\n") : withoutFile(folder, locked);
    parts.push(`${name} ${locked.version ?? ""}\n\n${words}`);
  }
  return parts.map((part) => part.trim()).join(`\n\n${"-".repeat(78)}\n\n`) + "\n";
}

/** What a package without a licence file says in its description. */
function withoutFile(folder: string, { license }: Locked): string {
  const facts = JSON.parse(readFileSync(join(folder, "package.json"), "utf8")) as {
    author?: string | { name?: string };
    license?: string;
    licenses?: { type?: string }[];
  };
  const author = typeof facts.author === "object" ? facts.author.name : facts.author;
  const licence =
    license ?? facts.license ?? facts.licenses?.map(({ type }) => type).join(", ") ?? "not stated";
  return `Licence: ${licence}. Author: ${author ?? "not stated"}. The package holds no licence text.`;
}

/** Puts the notices beside the studio. */
export function addNotices(): Plugin {
  return {
    name: "velarium-notices",
    apply: "build",
    generateBundle() {
      this.emitFile({ type: "asset", fileName: NOTICES_FILE, source: noticesText() });
    },
  };
}
