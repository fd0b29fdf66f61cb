import { spawnSync } from "node:child_process";

/** Debian packages whose programs read our output back or made the reference tables, and how to see them. */
const TOOLS: { packageName: string; command: string; args: string[] }[] = [
  { packageName: "chromium", command: "/usr/bin/chromium", args: ["--version"] },
  { packageName: "poppler-utils", command: "pdftoppm", args: ["-v"] },
  { packageName: "mupdf-tools", command: "mutool", args: ["-v"] },
  { packageName: "fonts-dejavu-core", command: "fc-list", args: [":family=DejaVu Sans"] },
  ...["erfa", "astropy", "ezdxf", "ephem"].map((module) => ({
    packageName: `python3-${module}`,
    command: "/usr/bin/python3",
    args: ["-c", `import ${module}`],
  })),
];

function present({ command, args }: (typeof TOOLS)[number]): boolean {
  const result = spawnSync(command, args, { encoding: "utf8" });
  if (command === "fc-list") return (result.stdout ?? "").trim() !== "";
  return result.error === undefined && result.status === 0;
}

/** Packages still missing after an attempt to install them (as root, where apt-get exists). */
export function missingTools(): string[] {
  const missing = TOOLS.filter((tool) => !present(tool)).map((tool) => tool.packageName);
  if (missing.length === 0 || process.getuid?.() !== 0) return missing;
  console.log(`installing ${missing.join(", ")}`);
  spawnSync("apt-get", ["update", "-q"], { stdio: "ignore" });
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
  spawnSync("apt-get", ["install", "-y", "-q", "--no-install-recommends", ...missing], {
    stdio: "inherit",
    env,
  });
  return TOOLS.filter((tool) => !present(tool)).map((tool) => tool.packageName);
}
